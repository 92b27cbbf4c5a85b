//! A data sheet with its lanes resolved and its Rf computed.

use compact_str::CompactString;
use dyebook_documents::Role;
use serde::Serialize;

/// A data sheet as strategies and checks see it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EvaluatedSheet {
    /// Names of the papers, in the order of the sheet.
    pub papers: Vec<CompactString>,
    /// Lanes, in the order of the sheet: as many as the sheet has, one for one.
    pub lanes: Vec<EvaluatedLane>,
}

impl EvaluatedSheet {
    /// Lanes of one paper.
    pub fn lanes_of<'a>(&'a self, paper: &'a str) -> impl Iterator<Item = &'a EvaluatedLane> {
        self.lanes.iter().filter(move |lane| lane.paper == paper)
    }
}

/// One lane with what it is known to hold.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EvaluatedLane {
    /// Paper.
    pub paper: CompactString,
    /// Lane number.
    pub lane: u32,
    /// Label as written.
    pub label: CompactString,
    /// As written, else by the label; a dye standard on a paper that holds samples is bridging.
    pub role: Role,
    /// Identifier of the dye that a standard or bridging lane's label names.
    pub dye: Option<CompactString>,
    /// Identifiers of the dyes that an ambiguous label may mean.
    pub choices: Vec<String>,
    /// Registered names that look like a label that names no dye.
    pub near: Vec<String>,
    /// The lane's front in cm: the first one written.
    pub front_cm: Option<f64>,
    /// Spots, in the order of the sheet.
    pub spots: Vec<EvaluatedSpot>,
}

impl EvaluatedLane {
    /// Whether the lane was spotted from a bottle of one known dye.
    pub fn is_known(&self) -> bool {
        self.role != Role::Sample
    }
}

/// One spot with its Rf.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EvaluatedSpot {
    /// Number in the lane, as written; counted where the numbers are missing or not distinct.
    pub spot: u32,
    /// Line in the file.
    pub row: Option<u32>,
    /// Position among the lane's rows in the sheet, from 0.
    pub position: usize,
    /// Distance over front, at full precision.
    pub rf: Option<f64>,
    /// Standard uncertainty of `rf` from reading the ruler, where the method says how well it is read.
    pub u: Option<f64>,
    /// Start line to spot, in cm.
    pub distance_cm: Option<f64>,
    /// Start line to front, in cm: of the spot's own row, else of the lane.
    pub front_cm: Option<f64>,
    /// Colour, as written.
    pub colour: Option<CompactString>,
    /// Depth of colour, as written.
    pub depth: Option<CompactString>,
    /// Shape, as written.
    pub shape: Option<CompactString>,
    /// Width of the spot over the front.
    pub width_rf: Option<f64>,
    /// Why there is no `rf`.
    pub unusable: Option<&'static str>,
}
