//! Identities as they come in: told in full or, where they are many, as numbers.

use crate::identity_tally::Tally;
use crate::outcome::Page;
use crate::words::identification;
use dyebook_documents::{Check, Identification};
use dyebook_workflows::ImportReport;
use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

/// More sheets than this are told as numbers: nobody reads their lanes one below the other.
const MOST_IN_FULL: usize = 100;

/// Identities while they come in, from any thread.
#[derive(Debug)]
pub(crate) struct Gathering(Mutex<Identities>);

impl Gathering {
    /// None yet. An answer for a program holds them all.
    pub(crate) fn new(as_json: bool) -> Self {
        Self(Mutex::new(Identities {
            most_in_full: if as_json { usize::MAX } else { MOST_IN_FULL },
            found: Vec::new(),
            count: 0,
            tally: Tally::default(),
        }))
    }

    /// Takes one more.
    pub(crate) fn take(&self, one: Identification) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.tally.add(&one);
        all.count += 1;
        if all.count <= all.most_in_full {
            all.found.push(one);
        } else {
            all.found.clear();
        }
    }

    /// All of them, in the order of these sheets.
    pub(crate) fn in_order_of<'a>(self, sheets: impl Iterator<Item = &'a str>) -> Identities {
        let mut all = self.0.into_inner().unwrap_or_else(PoisonError::into_inner);
        let places: HashMap<&str, usize> = sheets.zip(0..).collect();
        all.found
            .sort_by_key(|one| places.get(one.sheet.as_str()).copied());
        all
    }
}

/// Identities that came in.
#[derive(Debug)]
pub(crate) struct Identities {
    most_in_full: usize,
    found: Vec<Identification>,
    count: usize,
    tally: Tally,
}

impl Identities {
    /// Gives them the findings of their sheets in an import.
    pub(crate) fn with_findings_of(&mut self, report: &ImportReport) {
        let sheets = report.sheets.iter();
        let checks: HashMap<&str, &[Check]> = sheets
            .map(|sheet| (sheet.id.as_str(), &*sheet.checks))
            .collect();
        for one in &mut self.found {
            if let Some(checks) = checks.get(one.sheet.as_str()) {
                one.checks = checks.to_vec();
            }
        }
    }

    /// Whether somebody has to look.
    pub(crate) fn needs_person(&self) -> bool {
        self.tally.needs_person()
    }

    /// Those that are told in full.
    pub(crate) fn in_full(&self) -> &[Identification] {
        &self.found
    }

    /// The findings of those that are told in full.
    pub(crate) fn checks(&self) -> Vec<&Check> {
        self.found.iter().flat_map(|one| &one.checks).collect()
    }

    /// Tells them.
    pub(crate) fn show(&self, page: &mut Page) {
        for one in &self.found {
            page.gap();
            identification(page, one);
        }
        if self.count > self.most_in_full {
            self.tally.show(page);
        }
    }
}
