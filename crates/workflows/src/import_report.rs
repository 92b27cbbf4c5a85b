//! What `sheet import` answers.

use dyebook_documents::{Check, Digest};
use dyebook_plugin::importer::{Reading, Warning};
use jiff::civil::Date;
use serde::Serialize;

/// The answer of `sheet import`.
#[derive(Debug, Clone, Serialize)]
pub struct ImportReport {
    /// The sheets, in the order of the files.
    pub sheets: Vec<SheetReport>,
    /// The files.
    pub files: Vec<FileReport>,
}

impl ImportReport {
    /// Gives findings to the sheet at a place.
    pub(crate) fn found(&mut self, place: usize, checks: Vec<Check>) {
        if let Some(sheet) = self.sheets.get_mut(place) {
            sheet.checks = checks;
        }
    }
}

/// One sheet as taken.
#[derive(Debug, Clone, Serialize)]
pub struct SheetReport {
    /// Identifier.
    pub id: String,
    /// Section.
    pub section: Option<String>,
    /// Group.
    pub group: String,
    /// Day.
    pub date: Option<Date>,
    /// Method version it is bound to, `id@version`.
    pub method: String,
    /// Number of papers.
    pub papers: usize,
    /// Number of spots.
    pub spots: usize,
    /// Whether anything of it is new.
    pub new: bool,
    /// Whether it took the place of what was handed in before.
    pub replaced: bool,
    /// What the entry checks found.
    pub checks: Vec<Check>,
}

/// One file as read.
#[derive(Debug, Clone, Serialize)]
pub struct FileReport {
    /// Name.
    pub name: String,
    /// SHA-256 of its bytes.
    pub sha256: Digest,
    /// Who read it.
    pub importer: ImporterStamp,
    /// How it was read.
    pub reading: Reading,
    /// What the importer wants to be known.
    pub warnings: Vec<Warning>,
}

/// Which importer.
#[derive(Debug, Clone, Serialize)]
pub struct ImporterStamp {
    /// Identifier.
    pub id: String,
    /// Version.
    pub version: String,
}
