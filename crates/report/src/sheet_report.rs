//! The report of one data sheet.

use crate::page::{Fact, Page};
use crate::sections::SHEET_SECTIONS;
use dyebook_documents::{
    Check, Digest, DyeLookup, DyeRegister, Identification, Lane, LaneIdentity, Method, MethodState,
    Role, Row, Sheet, SpotIdentity,
};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// What the report of one data sheet is made of.
#[derive(Debug, Clone)]
pub struct SheetReport<'a> {
    /// Identifier of the sheet.
    pub sheet_id: String,
    /// The sheet as it now reads.
    pub sheet: &'a Sheet,
    /// Which content of the sheet that is, from 1.
    pub sheet_revision: u32,
    /// Whether that content rests on an amendment.
    pub amended: bool,
    /// When it was imported, as text.
    pub imported_at: String,
    /// What read it, e.g. `sheet 1.0.0`.
    pub importer: String,
    /// The method version whose reference set was used, or that the sheet is bound to.
    pub method: &'a Method,
    /// Where that version stands in its life.
    pub method_state: MethodState,
    /// Its content digest.
    pub method_digest: &'a Digest,
    /// Names of dyes.
    pub dyes: &'a DyeRegister,
    /// The identities, where the sheet has been identified.
    pub identification: Option<&'a Identification>,
    /// Rf of each spot, for spots that no identification covers.
    pub spots: Vec<ReportSpot>,
    /// What the entry checks saw.
    pub checks: &'a [Check],
    /// Changes of the sheet, oldest first.
    pub history: Vec<HistoryLine>,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version, e.g. `dyebook 0.1.0`.
    pub program: String,
}

/// Rf of one spot.
#[derive(Debug, Clone, PartialEq)]
pub struct ReportSpot {
    /// Paper.
    pub paper: String,
    /// Lane on the paper.
    pub lane: u32,
    /// Spot in the lane.
    pub spot: u32,
    /// Rf at full precision.
    pub rf: Option<f64>,
    /// Standard uncertainty of `rf` from reading the ruler.
    pub u: Option<f64>,
}

/// One change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HistoryLine {
    /// When, as text.
    pub when: String,
    /// Who.
    pub who: String,
    /// What.
    pub what: String,
    /// Why.
    pub why: String,
}

/// The report of one data sheet as one HTML file.
pub fn sheet_report(report: &SheetReport<'_>) -> String {
    let sections = SHEET_SECTIONS
        .iter()
        .filter_map(|section| section(report))
        .collect();
    Page {
        kicker: "Data sheet report".to_owned(),
        heading: report.heading(),
        marks: report.marks(),
        demo: report.demo,
        facts: report.facts(),
        sections,
        stamp: report.stamp(),
        program: report.program.clone(),
    }
    .html()
}

/// A spot with all that is known of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SpotView<'a> {
    /// Number in its lane.
    pub(crate) number: u32,
    /// The row of the sheet.
    pub(crate) row: &'a Row,
    /// Rf.
    pub(crate) rf: Option<f64>,
    /// Its uncertainty.
    pub(crate) u: Option<f64>,
    /// What it was found to be.
    pub(crate) identity: Option<&'a SpotIdentity>,
}

impl<'a> SheetReport<'a> {
    fn heading(&self) -> String {
        let section = self
            .sheet
            .section
            .as_ref()
            .map_or_else(String::new, |section| format!(", section {section}"));
        format!("Group {}{section}", self.sheet.group)
    }

    /// The version and digest that everything here rests on.
    pub(crate) fn stamp(&self) -> String {
        let strategy = self
            .identification
            .map_or_else(String::new, |identification| {
                let used = &identification.strategy;
                format!(" · strategy {} {}", used.id, used.version)
            });
        format!(
            "Sheet {} · method {} ({}) digest {}{strategy}",
            self.sheet_id,
            self.method.name(),
            self.method_state,
            self.method_digest.short()
        )
    }

    fn marks(&self) -> Vec<String> {
        let mut marks = Vec::new();
        if self.amended || self.identification.is_some_and(|found| found.amended) {
            marks.push("Amended".to_owned());
        }
        if self.method_state != MethodState::Approved {
            marks.push(format!("Method version is {}", self.method_state));
        }
        marks
    }

    fn facts(&self) -> Vec<Fact> {
        let sheet = self.sheet;
        let dash = || "not stated".to_owned();
        let mut facts = vec![
            Fact::code("Data sheet", self.sheet_id.as_str()),
            Fact::new("Section", sheet.section.clone().unwrap_or_else(dash)),
            Fact::new("Group", sheet.group.as_str()),
            Fact::new(
                "Date",
                sheet.date.map_or_else(dash, |date| date.to_string()),
            ),
            Fact::new(
                "Batch of developing solvent",
                sheet.batch.clone().unwrap_or_else(dash),
            ),
            Fact::new(
                "Imported",
                format!("{}, read by {}", self.imported_at, self.importer),
            ),
            Fact::new("Content", format!("revision {}", self.sheet_revision)),
            Fact::new(
                "Method version",
                format!("{} ({})", self.method.name(), self.method_state),
            ),
            Fact::code("Method digest", self.method_digest.as_str()),
        ];
        if let Some(found) = self.identification {
            facts.extend(strategy_facts(found));
        }
        facts
    }

    /// A dye's name, or its identifier where the register doesn't know it.
    pub(crate) fn dye_name(&self, id: &str) -> String {
        self.dyes
            .by_id(id)
            .map_or_else(|| id.to_owned(), |dye| dye.name.clone())
    }

    /// Names of the dyes of one candidate.
    pub(crate) fn dye_names(&self, ids: &[impl AsRef<str>]) -> String {
        let names: Vec<String> = ids.iter().map(|id| self.dye_name(id.as_ref())).collect();
        names.join(" with ")
    }

    /// The identities of a lane.
    pub(crate) fn identity_of(&self, lane: &Lane) -> Option<&'a LaneIdentity> {
        self.identification?.lanes.iter().find(|found| {
            found.paper == lane.paper && found.lane == lane.lane && found.label == lane.label
        })
    }

    /// What a lane holds: as judged, as written, or read off a label that names a dye.
    pub(crate) fn role_of(&self, lane: &Lane) -> Role {
        self.identity_of(lane)
            .map(|found| found.role)
            .or(lane.role)
            .unwrap_or_else(|| match self.dyes.find(&lane.label) {
                DyeLookup::Found(_) | DyeLookup::Ambiguous(_) => Role::Standard,
                DyeLookup::Unknown { .. } => Role::Sample,
            })
    }

    /// The dye that a standard lane's label names.
    pub(crate) fn labelled_dye(&self, lane: &Lane) -> Option<&'a str> {
        match self.dyes.find(&lane.label) {
            DyeLookup::Found(dye) => Some(&dye.id),
            DyeLookup::Ambiguous(_) | DyeLookup::Unknown { .. } => None,
        }
    }

    /// The spots of a lane.
    pub(crate) fn spots_of(&self, lane: &'a Lane) -> Vec<SpotView<'a>> {
        let identity = self.identity_of(lane);
        (1..)
            .zip(lane.spots())
            .map(|(counted, row)| {
                let number = row.spot.unwrap_or(counted);
                let identity =
                    identity.and_then(|found| found.spots.iter().find(|s| s.spot == number));
                let given = self
                    .spots
                    .iter()
                    .find(|s| s.paper == lane.paper && s.lane == lane.lane && s.spot == number);
                let rf = identity.and_then(|s| s.rf).or(given.and_then(|s| s.rf));
                let u = identity.and_then(|s| s.u).or(given.and_then(|s| s.u));
                SpotView {
                    number,
                    row,
                    rf,
                    u,
                    identity,
                }
            })
            .collect()
    }
}

/// Which strategy answered, with its parameters and, from outside, where it came from.
fn strategy_facts(found: &Identification) -> Vec<Fact> {
    let used = &found.strategy;
    let mut facts = vec![
        Fact::new("Strategy", format!("{} {}", used.id, used.version)),
        Fact::code("Strategy digest", used.digest.as_str()),
        Fact::new(
            "Strategy parameters",
            match flat(&Value::Object(used.parameters.clone())) {
                none if none.is_empty() => "none".to_owned(),
                some => some
                    .iter()
                    .map(|(name, value)| format!("{name} = {value}"))
                    .collect::<Vec<_>>()
                    .join("; "),
            },
        ),
    ];
    facts.extend(provenance_facts(&used.provenance, &facts));
    facts
}

/// Where the plug-in came from: in one line for a bundled one, everything for one from outside.
fn provenance_facts(provenance: &Map<String, Value>, known: &[Fact]) -> Vec<Fact> {
    let text = |key: &str| {
        provenance
            .get(key)
            .map_or_else(|| "not stated".to_owned(), plain)
    };
    if provenance.get("bundled") == Some(&Value::Bool(true)) {
        let value = format!(
            "{}, bundled with the program, {}",
            text("plugin"),
            text("sandbox")
        );
        return vec![Fact::new("Plug-in", value)];
    }
    let mut facts = Vec::new();
    for (name, value) in flat(&Value::Object(provenance.clone())) {
        // What the strategy's own lines say already.
        if name.starts_with("parameters") || known.iter().any(|fact| fact.value == value) {
            continue;
        }
        let name = format!("Plug-in: {}", name.replace('_', " "));
        let digest = Digest::from_hex(&value).is_some();
        facts.push(Fact {
            code: digest,
            ..Fact::new(&name, value)
        });
    }
    facts
}

/// A JSON value as lines of path and value.
fn flat(value: &Value) -> BTreeMap<String, String> {
    let mut lines = BTreeMap::new();
    flatten("", value, &mut lines);
    lines
}

fn flatten(path: &str, value: &Value, lines: &mut BTreeMap<String, String>) {
    let below = |name: &str| {
        if path.is_empty() {
            name.to_owned()
        } else {
            format!("{path}, {name}")
        }
    };
    match value {
        Value::Object(map) => {
            for (name, inner) in map {
                flatten(&below(name), inner, lines);
            }
        }
        Value::Array(items) if items.iter().any(|i| i.is_object() || i.is_array()) => {
            for (index, inner) in (1..).zip(items) {
                flatten(&below(&format!("{index}")), inner, lines);
            }
        }
        Value::Array(items) => {
            let words: Vec<String> = items.iter().map(plain).collect();
            lines.insert(path.to_owned(), words.join(", "));
        }
        other => {
            lines.insert(path.to_owned(), plain(other));
        }
    }
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Null => "not known".to_owned(),
        other => other.to_string(),
    }
}
