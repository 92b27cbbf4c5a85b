//! A data sheet: what one group handed in.
//!
//! Fields stand in the order of their names, which is that of the canonical form: it is then written
//! without putting anything in order. Texts of lanes and rows are nearly always so short that they
//! stand in place, as `CompactString`s: there are many of them, and memory for each would cost more
//! than all else that is done with them.

use crate::decimal::WrittenDecimal;
use crate::length::LengthUnit;
use compact_str::CompactString;
use jiff::civil::Date;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// A data sheet: the lanes of one or more chromatograms of one group on one day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sheet {
    /// Batch of developing solvent.
    pub batch: Option<String>,
    /// Day of the session.
    pub date: Option<Date>,
    /// Group code.
    pub group: String,
    /// Lanes, in the order of the sheet.
    pub lanes: Vec<Lane>,
    /// Method reference as written.
    pub method: String,
    /// Remark lines.
    #[serde(default)]
    pub remarks: Vec<Remark>,
    /// Class section.
    pub section: Option<String>,
    /// Units of the distances.
    pub units: Units,
}

impl Sheet {
    /// Names of the papers, in the order of the sheet.
    pub fn papers(&self) -> Vec<&str> {
        let mut papers: Vec<&str> = Vec::new();
        for lane in &self.lanes {
            let paper = lane.paper.as_str();
            // Lanes of a paper nearly always stand together.
            if papers.last() != Some(&paper) && !papers.contains(&paper) {
                papers.push(paper);
            }
        }
        papers
    }

    /// Lanes of one paper.
    pub fn lanes_of<'a>(&'a self, paper: &'a str) -> impl Iterator<Item = &'a Lane> {
        self.lanes.iter().filter(move |lane| lane.paper == paper)
    }

    /// Spots with a distance, over all lanes.
    pub fn spot_count(&self) -> usize {
        self.lanes
            .iter()
            .flat_map(|lane| &lane.rows)
            .filter(|row| row.distance.is_some())
            .count()
    }

    /// The session: one class meeting, same section and date.
    pub fn session(&self) -> String {
        session_name(self.section.as_deref(), self.date)
    }
}

/// The session of a section and a day.
pub fn session_name(section: Option<&str>, date: Option<Date>) -> String {
    let section = section.unwrap_or("-");
    date.map_or_else(
        || format!("{section}|no date"),
        |date| format!("{section}|{date}"),
    )
}

/// Units of the distances of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Units {
    /// Of spot distances.
    pub distance: LengthUnit,
    /// Of front distances.
    pub front: LengthUnit,
    /// Of spot widths, where there are any.
    pub width: Option<LengthUnit>,
}

/// One lane.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Lane {
    /// What was spotted, as written.
    pub label: CompactString,
    /// Lane number on the paper, from 1.
    pub lane: u32,
    /// Paper.
    pub paper: CompactString,
    /// Dye standard or sample, as written; `None` where the sheet doesn't say.
    pub role: Option<Role>,
    /// Rows of the sheet: one a spot, or one without a distance for a lane without a spot.
    pub rows: Vec<Row>,
}

impl Lane {
    /// The lane's front in cm: the first one written.
    pub fn front_cm(&self, units: Units) -> Option<Decimal> {
        self.rows.iter().find_map(|row| row.front_cm(units))
    }

    /// The rows that are spots.
    pub fn spots(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|row| row.distance.is_some())
    }
}

/// What a lane holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// A dye standard: the label names a dye.
    Standard,
    /// A sample.
    Sample,
    /// A known dye on a samples paper.
    Bridging,
}

/// One row of a data sheet.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Row {
    /// Colour, as written.
    pub colour: Option<CompactString>,
    /// Depth of colour, as written.
    pub depth: Option<CompactString>,
    /// Start line to spot, as written.
    pub distance: Option<WrittenDecimal>,
    /// Start line to front, as written.
    pub front: Option<WrittenDecimal>,
    /// Remark.
    pub remark: Option<CompactString>,
    /// The group's own identity.
    pub reported_identity: Option<CompactString>,
    /// The group's own Rf.
    pub reported_rf: Option<WrittenDecimal>,
    /// Line in the file.
    pub row: Option<u32>,
    /// Shape, as written.
    pub shape: Option<CompactString>,
    /// Spot number, from 1; counted where the sheet doesn't say.
    pub spot: Option<u32>,
    /// Width of the spot, as written.
    pub width: Option<WrittenDecimal>,
}

impl Row {
    /// Spot distance in cm, exactly.
    pub fn distance_cm(&self, units: Units) -> Option<Decimal> {
        Some(units.distance.to_cm(self.distance.as_ref()?.exact()))
    }

    /// Front distance in cm, exactly.
    pub fn front_cm(&self, units: Units) -> Option<Decimal> {
        Some(units.front.to_cm(self.front.as_ref()?.exact()))
    }
}

/// A remark line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Remark {
    /// Line in the file.
    pub row: Option<u32>,
    /// What it says.
    pub text: String,
}
