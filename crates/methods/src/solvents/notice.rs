//! What people are told of a change, and what they need at the bench.

use super::consequences::Invalid;
use crate::rules::{Bump, Diff};
use dyebook_documents::{DyeRegister, Method, show_rf};
use jiff::civil::Date;
use serde::Serialize;

/// A notice of one page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Notice {
    /// Day on which the new version begins; a field to fill in where it is `None`.
    pub from_day: Option<Date>,
    /// Heading.
    pub title: String,
    /// Paragraphs.
    pub paragraphs: Vec<String>,
}

/// A line of the table for the hand-out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HandoutRow {
    /// The dye.
    pub dye: String,
    /// The name shown.
    pub name: String,
    /// Expected Rf, rounded for display.
    pub rf: String,
    /// Expected range, rounded for display.
    pub range: String,
    /// Colour words.
    pub colours: Vec<String>,
    /// `measured`, `provisional` or `not yet measured`.
    pub status: &'static str,
    /// How it behaves.
    pub behaviour: Option<String>,
}

/// More changes than this are not read.
const MOST_CHANGES_TOLD: usize = 6;

/// The notice for the sections.
pub(super) fn notice(
    from: &Method,
    to: &Method,
    diff: &Diff,
    invalid: &[Invalid],
    from_day: Option<Date>,
    sections: &[String],
) -> Notice {
    let day = from_day.map_or("the day written here: ________".to_owned(), |d| {
        d.to_string()
    });
    let who = match sections {
        [] => "every section works".to_owned(),
        [one] => format!("{one} works"),
        [first @ .., last] => format!("{} and {last} work", first.join(", ")),
    };
    // The changes that ask for the step say what matters; a long list hides it.
    let what: Vec<&str> = diff
        .changes
        .iter()
        .filter(|change| change.bump == diff.required && change.bump >= Bump::Minor)
        .take(MOST_CHANGES_TOLD)
        .map(|change| change.message.as_str())
        .collect();
    let mut paragraphs = vec![format!("From {day}, {who} with {}.", to.name())];
    if !what.is_empty() {
        paragraphs.push(format!("What changes: {}.", what.join("; ")));
    }
    if let Some(note) = &to.change_note {
        paragraphs.push(format!("Why: {note}"));
    }
    if invalid.iter().any(|i| i.what.starts_with("stock of")) {
        paragraphs.push(
            "Throw nothing into the drain: hand all bottles and jars of the old developing solvent back to the prep room; local rules decide. Never both liquids on one bench."
                .to_owned(),
        );
    }
    if diff.required == Bump::Major {
        paragraphs.push(format!(
            "Use only the table of {}. Rf values that you measured under {} can't be compared with the new ones, and they are not wrong.",
            to.name(),
            from.name()
        ));
    } else {
        paragraphs.push(format!(
            "Rf values measured under {} stay comparable; use the table of {}.",
            from.name(),
            to.name()
        ));
    }
    paragraphs.push(format!(
        "The code {} stands on the sheet, the bottle and the hand-out: all three must agree.",
        to.name()
    ));
    Notice {
        from_day,
        title: format!("{} replaces {}", to.name(), from.name()),
        paragraphs,
    }
}

/// The table for the hand-out, from the start line up.
pub(super) fn handout(method: &Method, dyes: &DyeRegister) -> Vec<HandoutRow> {
    let mut references: Vec<_> = method.references.iter().collect();
    references.sort_by(|a, b| a.centre().total_cmp(&b.centre()));
    references
        .into_iter()
        .map(|reference| HandoutRow {
            dye: reference.dye.clone(),
            name: dyes
                .by_id(&reference.dye)
                .map_or_else(|| reference.dye.clone(), |dye| dye.name.clone()),
            rf: show_rf(reference.centre()),
            range: format!(
                "{} to {}",
                show_rf(reference.expected_rf.low),
                show_rf(reference.expected_rf.high)
            ),
            colours: super::like_coloured::colours(reference, dyes),
            status: match (reference.provisional, reference.count) {
                (Some(true), _) => "provisional",
                (_, Some(_)) => "measured",
                (_, None) => "not yet measured",
            },
            behaviour: reference.behaviour.clone(),
        })
        .collect()
}
