//! What to ask the groups, grouped by section and group.

use crate::page::{Fact, Page, rendered};
use crate::parts::body::Body;
use crate::parts::check_list::CheckList;
use crate::words::{WORST_FIRST, count};
use dyebook_documents::{Check, Severity};

/// All findings of some sheets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QueryList {
    /// What the list covers, e.g. `sheets imported on 2026-10-06`.
    pub covers: String,
    /// Sections of the class.
    pub sections: Vec<QuerySection>,
    /// Versions that the checks rest on, repeated on each printed page.
    pub stamp: String,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

/// One class section.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuerySection {
    /// Its name.
    pub section: String,
    /// Its groups.
    pub groups: Vec<QueryGroup>,
}

/// One group's sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QueryGroup {
    /// Group code.
    pub group: String,
    /// Data sheet.
    pub sheet: String,
    /// What was found in it.
    pub checks: Vec<Check>,
}

/// The list as a page.
pub fn query_list(list: &QueryList) -> String {
    let all: Vec<&QueryGroup> = list.sections.iter().flat_map(|s| &s.groups).collect();
    let of = |severity: Severity| -> usize {
        all.iter()
            .flat_map(|group| &group.checks)
            .filter(|check| check.severity == severity)
            .count()
    };
    let counts: Vec<String> = WORST_FIRST
        .iter()
        .map(|&severity| format!("{} {}", of(severity), severity.word()))
        .collect();
    let sections = (1..)
        .zip(&list.sections)
        .map(|(index, section)| {
            section_body(section).section(
                &format!("section-{index}"),
                &format!("Section {}", section.section),
            )
        })
        .collect();
    Page {
        kicker: "Query list".to_owned(),
        heading: "Questions to the groups".to_owned(),
        marks: vec![],
        demo: list.demo,
        facts: vec![
            Fact::new("Covers", list.covers.as_str()),
            Fact::new("Sheets", all.len().to_string()),
            Fact::new("Findings", counts.join(", ")),
        ],
        sections,
        stamp: list.stamp.clone(),
        program: list.program.clone(),
    }
    .html()
}

/// Groups with findings, then those without in one sentence.
fn section_body(section: &QuerySection) -> Body {
    let mut body = Body::default();
    let (clean, asked): (Vec<_>, Vec<_>) = section
        .groups
        .iter()
        .partition(|group| group.checks.is_empty());
    for group in asked {
        body = body.subheading(&format!(
            "Group {}, sheet {}: {}",
            group.group,
            group.sheet,
            count(group.checks.len(), "finding", "findings")
        ));
        for severity in WORST_FIRST {
            if let Some(list) = CheckList::of(&group.checks, severity) {
                body = body.html(&rendered(&list.with_words().with_answer()));
            }
        }
    }
    if clean.is_empty() {
        return body;
    }
    let names: Vec<&str> = clean.iter().map(|group| group.group.as_str()).collect();
    body.paragraph(&format!("Nothing to ask: {}.", names.join(", ")))
}
