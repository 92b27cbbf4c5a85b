//! One check of a data sheet, and what it finds.

use crate::context::Context;
use crate::sheet_view::SheetView;
use dyebook_documents::{Check, Severity, Where};

/// One thing that can be wrong in a data sheet.
#[derive(Debug, Clone, Copy)]
pub struct EntryCheck {
    /// Its name, e.g. `front-tilt`.
    pub id: &'static str,
    /// Why it matters, in a sentence.
    pub why: &'static str,
    /// Looks for it.
    pub(crate) find: fn(&SheetView<'_>) -> Vec<Finding>,
}

impl EntryCheck {
    /// What it finds.
    pub fn run(&self, context: &Context<'_>) -> Vec<Check> {
        self.run_on(&SheetView::new(context)).collect()
    }

    pub(crate) fn run_on(&self, sheet: &SheetView<'_>) -> impl Iterator<Item = Check> + use<> {
        let id = self.id;
        let found = (self.find)(sheet).into_iter();
        found.map(move |finding| finding.named(id))
    }
}

/// One thing found, before it carries the check's name.
#[derive(Debug)]
pub(crate) struct Finding {
    severity: Severity,
    place: Where,
    message: String,
    alternatives: Vec<String>,
}

impl Finding {
    pub(crate) fn new(severity: Severity, place: Where, message: impl Into<String>) -> Self {
        Self {
            severity,
            place,
            message: message.into(),
            alternatives: vec![],
        }
    }

    /// The finding under a name.
    pub(crate) fn named(self, check: &str) -> Check {
        Check {
            check: check.to_owned(),
            severity: self.severity,
            place: self.place,
            message: self.message,
            alternatives: self.alternatives,
        }
    }

    /// Another reading that would explain it.
    pub(crate) fn or(mut self, alternative: impl Into<String>) -> Self {
        self.alternatives.push(alternative.into());
        self
    }

    /// Other readings that would explain it.
    pub(crate) fn or_all(mut self, alternatives: impl IntoIterator<Item = String>) -> Self {
        self.alternatives.extend(alternatives);
        self
    }
}
