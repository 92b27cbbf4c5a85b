//! The record of making up a batch of developing solvent, to print and fill in.

use crate::page::{Fact, Page, rendered};
use crate::parts::body::{Body, Table};
use crate::parts::cautions_list::CautionsList;
use dyebook_documents::Caution;

/// A batch to make up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchRecord {
    /// Batch code; empty for a line to write it on.
    pub batch: String,
    /// `id@version`.
    pub method: String,
    /// Method digest.
    pub digest: String,
    /// Volume with its unit.
    pub volume: String,
    /// For which sections, in words.
    pub purpose: String,
    /// What to weigh and measure.
    pub lines: Vec<BatchLine>,
    /// The same amounts from other stocks, in sentences.
    pub alternatives: Vec<String>,
    /// Order of mixing.
    pub steps: Vec<String>,
    /// Predicted pH with its assumptions; empty where there is none.
    pub predicted_ph: String,
    /// How long it may be used, in words.
    pub shelf_life: String,
    /// Day it was made; empty for a line to write it on.
    pub made_on: String,
    /// Who made it; empty for a line.
    pub made_by: String,
    /// Last day of use; empty for a line.
    pub use_until: String,
    /// Cautions of the method and its substances.
    pub cautions: Vec<Caution>,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

/// One thing to weigh or measure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchLine {
    /// Substance.
    pub substance: String,
    /// What it is taken from, with strength and basis.
    pub stock: String,
    /// Exact amount with its unit.
    pub exact: String,
    /// Amount to weigh or measure, rounded to real glassware.
    pub measure: String,
    /// Error that the rounding makes, as text.
    pub error: String,
}

/// The record as a page.
pub fn batch_record(record: &BatchRecord) -> String {
    let head = &[
        "Substance",
        "From",
        "Exact",
        "Weigh or measure",
        "Error of rounding",
        "Taken",
        "Stock lot",
    ];
    let table = Table::new("Weigh and measure", head).rows(record.lines.iter().map(|line| {
        vec![
            line.substance.clone(),
            line.stock.clone(),
            line.exact.clone(),
            line.measure.clone(),
            line.error.clone(),
            BLANK.to_owned(),
            BLANK.to_owned(),
        ]
    }));
    let mut make = Body::default()
        .table(&table)
        .subheading("In this order")
        .steps(&record.steps);
    if !record.alternatives.is_empty() {
        make = make
            .subheading("From other stocks")
            .list(&record.alternatives);
    }
    let mut sections = vec![
        make.section("make-up", "Making it up"),
        filled_in(record).section("record", "Filled in by who made it"),
    ];
    if !record.cautions.is_empty() {
        let cautions = CautionsList {
            cautions: &record.cautions,
        };
        let body = Body::default().html(&rendered(&cautions));
        sections.push(body.section("cautions", "Cautions"));
    }
    Page {
        kicker: "Batch record of developing solvent".to_owned(),
        heading: format!("{} of {}", record.volume, record.method),
        marks: vec![],
        demo: record.demo,
        facts: vec![
            Fact::new("Method version", record.method.as_str()),
            Fact::code("Method digest", record.digest.as_str()),
            Fact::new("Volume", record.volume.as_str()),
            Fact::new("For", record.purpose.as_str()),
            Fact::new("May be used", record.shelf_life.as_str()),
        ],
        sections,
        stamp: format!(
            "Batch {} of {} digest {}",
            or_blank(&record.batch),
            record.method,
            record.digest.get(..12).unwrap_or(&record.digest)
        ),
        program: record.program.clone(),
    }
    .html()
}

const BLANK: &str = "__________";

fn or_blank(text: &str) -> &str {
    if text.is_empty() { BLANK } else { text }
}

fn filled_in(record: &BatchRecord) -> Body {
    let mut rows = vec![
        ("Batch", or_blank(&record.batch)),
        ("Made on", or_blank(&record.made_on)),
        ("Made by", or_blank(&record.made_by)),
        ("Use until", or_blank(&record.use_until)),
        ("Measured pH", BLANK),
        ("Front speed on a test strip", BLANK),
        ("Looked over by", BLANK),
    ];
    if !record.predicted_ph.is_empty() {
        rows.insert(4, ("Predicted pH", &record.predicted_ph));
    }
    let rows = rows
        .into_iter()
        .map(|(name, value)| vec![name.to_owned(), value.to_owned()]);
    Body::default().table(&Table::new("Record", &["What", "Value"]).rows(rows))
}
