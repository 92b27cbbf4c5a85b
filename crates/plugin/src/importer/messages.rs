//! What host and importer say to each other: contract `importer/1`.

use compact_str::CompactString;
use serde::{Deserialize, Serialize};

use super::table::FIELDS;

/// The request of PROBE; the first 64 KiB of the file go beside it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ProbeRequest {
    /// The file's name.
    pub name: String,
    /// The file's size in bytes.
    #[serde(default)]
    pub size: u64,
}

impl ProbeRequest {
    /// A question about this file.
    pub fn new(name: &str, size: u64) -> Self {
        Self {
            name: name.into(),
            size,
        }
    }
}

/// The response of PROBE.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Confidence {
    /// From 0, not mine, to 1, certainly mine.
    pub confidence: f64,
    /// Why, in words.
    pub reason: String,
}

impl Confidence {
    /// So sure, for this reason.
    pub fn new(confidence: f64, reason: impl Into<String>) -> Self {
        Self {
            confidence,
            reason: reason.into(),
        }
    }
}

/// The request of IMPORT; the whole file goes beside it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ImportRequest {
    /// The file's name.
    pub name: String,
}

impl ImportRequest {
    /// A wish to read this file.
    pub fn new(name: &str) -> Self {
        Self { name: name.into() }
    }
}

/// The response of IMPORT: a file, read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Imported {
    /// One row a spot.
    pub rows: Vec<Row>,
    /// Units of the lengths.
    pub units: Units,
    /// How the bytes were taken.
    pub reading: Reading,
    /// Which column was taken for what.
    #[serde(default)]
    pub columns: Vec<Column>,
    /// Remark lines.
    #[serde(default)]
    pub remarks: Vec<Remark>,
    /// What a person should know although the file was taken.
    #[serde(default)]
    pub warnings: Vec<Warning>,
}

/// One row of a data sheet: all text as written, less spaces around it; `None` where empty.
///
/// Only in `distance`, `front`, `width` and `reported_rf` a decimal comma has become a point. Nearly
/// all texts of a sheet are short enough to stand in the row itself, without memory of their own.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[non_exhaustive]
pub struct Row {
    /// Line or row number in the file, from 1.
    pub row: u64,
    /// Section.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub section: Option<CompactString>,
    /// Group.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<CompactString>,
    /// Date, YYYY-MM-DD.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<CompactString>,
    /// Reference to a method version.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub method: Option<CompactString>,
    /// Batch of the developing solvent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub batch: Option<CompactString>,
    /// Paper.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub paper: Option<CompactString>,
    /// `standard` or `sample`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub role: Option<CompactString>,
    /// Lane number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lane: Option<CompactString>,
    /// Lane label.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<CompactString>,
    /// Spot number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spot: Option<CompactString>,
    /// Start line to spot centre.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub distance: Option<CompactString>,
    /// Start line to front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub front: Option<CompactString>,
    /// Colour word.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub colour: Option<CompactString>,
    /// Depth word.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth: Option<CompactString>,
    /// Shape word.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shape: Option<CompactString>,
    /// Width along the lane.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub width: Option<CompactString>,
    /// Remark.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<CompactString>,
    /// Rf that the group worked out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reported_rf: Option<CompactString>,
    /// Identity that the group decided on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reported_identity: Option<CompactString>,
}

impl Row {
    /// An empty row of that number.
    pub fn new(row: u64) -> Self {
        Self {
            row,
            ..Self::default()
        }
    }

    /// All fields, in the order of their declaration.
    pub(super) fn fields(&self) -> [&Option<CompactString>; 19] {
        [
            &self.section,
            &self.group,
            &self.date,
            &self.method,
            &self.batch,
            &self.paper,
            &self.role,
            &self.lane,
            &self.label,
            &self.spot,
            &self.distance,
            &self.front,
            &self.colour,
            &self.depth,
            &self.shape,
            &self.width,
            &self.remark,
            &self.reported_rf,
            &self.reported_identity,
        ]
    }

    /// The places of all fields, in the order of their declaration.
    pub(super) fn places(&mut self) -> [&mut Option<CompactString>; 19] {
        [
            &mut self.section,
            &mut self.group,
            &mut self.date,
            &mut self.method,
            &mut self.batch,
            &mut self.paper,
            &mut self.role,
            &mut self.lane,
            &mut self.label,
            &mut self.spot,
            &mut self.distance,
            &mut self.front,
            &mut self.colour,
            &mut self.depth,
            &mut self.shape,
            &mut self.width,
            &mut self.remark,
            &mut self.reported_rf,
            &mut self.reported_identity,
        ]
    }

    /// The place for a field by its name, `None` when there is no such field.
    pub fn field_mut(&mut self, name: &str) -> Option<&mut Option<CompactString>> {
        let at = FIELDS.iter().position(|field| *field == name)?;
        self.places().into_iter().nth(at)
    }
}

/// A unit of length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    /// Centimetre.
    Cm,
    /// Millimetre.
    Mm,
    /// Inch.
    In,
}

/// Units of the columns that hold lengths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Units {
    /// Of `distance`.
    pub distance: Unit,
    /// Of `front`.
    pub front: Unit,
    /// Of `width`, where there is one.
    pub width: Option<Unit>,
}

impl Default for Units {
    fn default() -> Self {
        Self {
            distance: Unit::Cm,
            front: Unit::Cm,
            width: None,
        }
    }
}

/// How the bytes were taken; `None` where a format has no such thing.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reading {
    /// What separates fields.
    pub separator: Option<String>,
    /// What separates the decimals.
    pub decimal: Option<String>,
    /// Encoding of the text.
    pub encoding: Option<String>,
}

/// A column of the file and what it was taken for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Column {
    /// As written.
    pub header: String,
    /// The field's name.
    pub field: String,
}

/// A remark line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Remark {
    /// Line or row number.
    pub row: u64,
    /// Its text without the mark.
    pub text: String,
}

/// What a person should know although the file was taken.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Warning {
    /// Short name that does not change.
    pub code: String,
    /// A sentence.
    pub message: String,
    /// Line or row number, where it concerns one.
    pub row: Option<u64>,
}

/// Why a file is refused.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Refusal {
    /// Everything that is wrong.
    pub problems: Vec<Problem>,
}

/// One thing wrong with a file.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Problem {
    /// Line or row number, where it concerns one.
    pub row: Option<u64>,
    /// The column's header, where it concerns one.
    pub column: Option<String>,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub hint: Option<String>,
}

impl Problem {
    /// A problem of the file as a whole.
    pub fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            ..Self::default()
        }
    }

    /// The same at a row.
    #[must_use]
    pub fn in_row(mut self, row: u64) -> Self {
        self.row = Some(row);
        self
    }

    /// The same in a column.
    #[must_use]
    pub fn in_column(mut self, column: impl Into<String>) -> Self {
        self.column = Some(column.into());
        self
    }

    /// The same with a way to mend it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}
