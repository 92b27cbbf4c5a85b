//! What a class saw, method version by method version: identities, the spread of the dye
//! standards, and how often the names are right.

use crate::page::{Fact, Page};
use crate::parts::body::{Body, Table};

/// What a class saw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClassPage {
    /// The sheets in words.
    pub covers: String,
    /// The strategy that decided, with version and digest.
    pub strategy: String,
    /// The method versions, each with its own tables.
    pub versions: Vec<ClassVersionPage>,
    /// What must be known with the figures.
    pub notes: Vec<String>,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

/// What a class saw under one method version; numbers as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClassVersionPage {
    /// `id@version`.
    pub method: String,
    /// What it rests on, in a sentence.
    pub covers: String,
    /// Decisions by section and group.
    pub decisions: Vec<DecisionLine>,
    /// Section, verdict, spots, groups.
    pub identities: Vec<[String; 4]>,
    /// Dye, spots, sheets, median, robust SD, seen, expected, outside.
    pub standards: Vec<[String; 8]>,
    /// What was left out of the standards, in a sentence; empty where nothing was.
    pub left_out: String,
}

/// How the sample spots of somebody were decided; numbers as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DecisionLine {
    /// The class, a section or a group.
    pub who: String,
    /// Sample spots.
    pub spots: String,
    /// One identity.
    pub decided: String,
    /// Several, or one or none.
    pub undecided: String,
    /// In no reference set.
    pub not_in_set: String,
    /// Not judged.
    pub not_evaluable: String,
    /// Right, where the record says what is there.
    pub right: String,
    /// Wrong, where the record says what is there.
    pub wrong: String,
}

/// The figures as a page.
pub fn class_page(class: &ClassPage) -> String {
    let mut sections = vec![];
    if !class.notes.is_empty() {
        let body = Body::default().list(&class.notes);
        sections.push(body.section("to-know", "What must be known with it"));
    }
    for (number, version) in (1..).zip(&class.versions) {
        let id = |what: &str| format!("{what}-{number}");
        let heading = |what: &str| format!("{}: {what}", version.method);
        sections.push(
            decisions(version).section(&id("decisions"), &heading("how the spots were decided")),
        );
        sections
            .push(identities(version).section(&id("identities"), &heading("what the class saw")));
        sections.push(
            standards(version).section(&id("standards"), &heading("how the dye standards spread")),
        );
    }
    Page {
        kicker: "Class figures".to_owned(),
        heading: class.covers.clone(),
        marks: vec![],
        demo: class.demo,
        facts: vec![Fact::new("Decided by", class.strategy.as_str())],
        sections,
        stamp: format!("Class figures, decided by {}", class.strategy),
        program: class.program.clone(),
    }
    .html()
}

fn decisions(version: &ClassVersionPage) -> Body {
    let head = &[
        "Who",
        "Sample spots",
        "Decided",
        "Can't tell",
        "Not in the reference set",
        "Not evaluable",
        "Right",
        "Wrong",
    ];
    let row = |line: &DecisionLine| {
        [
            &line.who,
            &line.spots,
            &line.decided,
            &line.undecided,
            &line.not_in_set,
            &line.not_evaluable,
            &line.right,
            &line.wrong,
        ]
        .map(Clone::clone)
        .to_vec()
    };
    let table = Table::new("Decisions on the sample spots", head);
    Body::default()
        .paragraph(&version.covers)
        .table(&table.rows(version.decisions.iter().map(row)))
}

fn identities(version: &ClassVersionPage) -> Body {
    if version.identities.is_empty() {
        return Body::default().paragraph("There are no sample spots.");
    }
    let head = &["Section", "Said of a spot", "Spots", "Groups"];
    let table = Table::new("Verdicts, those of one section together", head);
    let rows = version.identities.iter().map(|row| row.to_vec());
    Body::default().table(&table.rows(rows))
}

fn standards(version: &ClassVersionPage) -> Body {
    let mut body = Body::default();
    if version.standards.is_empty() {
        body = body.paragraph("No spot of a dye standard could be used.");
    } else {
        let head = &[
            "Dye",
            "Spots",
            "Sheets",
            "Median Rf",
            "Robust SD",
            "Seen",
            "Expected",
            "Outside of that",
        ];
        let table = Table::new("Rf of the dye standards", head);
        let rows = version.standards.iter().map(|row| row.to_vec());
        body = body.table(&table.rows(rows));
    }
    if version.left_out.is_empty() {
        body
    } else {
        body.paragraph(&version.left_out)
    }
}
