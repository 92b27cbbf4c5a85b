//! What a lint is, what it looks at and what it says.

use crate::composition::{CanonicalComposition, CompositionError, canonical};
use dyebook_documents::{DyeRegister, Method, Reference, Severity};
use serde::Serialize;
use serde_json::Value;

/// A lint.
#[derive(Debug, Clone, Copy)]
pub struct Lint {
    /// Name that never changes; the file's name with hyphens.
    pub id: &'static str,
    /// What it means for a person: `stop` is an error, the method can't be kept so.
    pub severity: Severity,
    /// What it sees, and why that matters.
    pub why: &'static str,
    /// Looks.
    pub run: fn(&Context<'_>) -> Vec<Finding>,
    /// Edits of a clean method after which it finds something.
    pub fires: &'static [LintExample],
    /// Edits after which it still finds nothing.
    pub silent: &'static [LintExample],
}

/// Edits of a clean method.
#[derive(Debug, Clone, Copy)]
pub struct LintExample {
    /// In words.
    pub what: &'static str,
    /// Members set, as JSON Pointer and JSON text.
    pub set: &'static [(&'static str, &'static str)],
    /// Members taken out, by JSON Pointer.
    pub unset: &'static [&'static str],
}

impl LintExample {
    /// An example that only sets members.
    pub const fn set(what: &'static str, set: &'static [(&'static str, &'static str)]) -> Self {
        Self {
            what,
            set,
            unset: &[],
        }
    }
}

/// Something found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// The lint that found it.
    pub lint: &'static str,
    /// What it means for a person.
    pub severity: Severity,
    /// Where, as a JSON Pointer into the document.
    pub path: String,
    /// What is wrong and why it matters.
    pub message: String,
    /// What to do.
    pub hints: Vec<String>,
}

impl Lint {
    /// A finding of this lint.
    pub(super) fn finding(&self, path: impl Into<String>, message: impl Into<String>) -> Finding {
        Finding {
            lint: self.id,
            severity: self.severity,
            path: path.into(),
            message: message.into(),
            hints: Vec::new(),
        }
    }
}

impl Finding {
    /// The same with something to do.
    #[must_use]
    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }
}

/// What the lints look at.
#[derive(Debug)]
pub struct Context<'a> {
    /// The method.
    pub method: &'a Method,
    /// The method as JSON.
    pub document: &'a Value,
    /// The dyes known.
    pub dyes: &'a DyeRegister,
    /// What is in the developing solvent, or why that can't be told.
    pub liquid: Result<CanonicalComposition, CompositionError>,
}

impl<'a> Context<'a> {
    pub(super) fn new(method: &'a Method, document: &'a Value, dyes: &'a DyeRegister) -> Self {
        let liquid = canonical(&method.developer);
        Self {
            method,
            document,
            dyes,
            liquid,
        }
    }

    /// References with their places.
    pub(super) fn references(&self) -> impl Iterator<Item = (String, &'a Reference)> + use<'a> {
        self.method
            .references
            .iter()
            .enumerate()
            .map(|(index, reference)| (format!("/references/{index}"), reference))
    }

    /// The place of a component.
    pub(super) fn component_place(&self, substance: &str) -> String {
        let index = self
            .method
            .developer
            .components
            .iter()
            .position(|c| c.substance == substance);
        index.map_or("/developer/components".to_owned(), |index| {
            format!("/developer/components/{index}")
        })
    }

    /// Colour words of a reference: the method's, else the dye's own.
    pub(super) fn colours(&self, reference: &Reference) -> Vec<String> {
        crate::solvents::colours(reference, self.dyes)
    }
}
