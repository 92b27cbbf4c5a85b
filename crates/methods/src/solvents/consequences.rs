//! What a change of method makes invalid, from the version rules that saw it.

use crate::rules::{Bump, Diff};
use serde::Serialize;

/// Something that no longer holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Invalid {
    /// What.
    pub what: &'static str,
    /// Why.
    pub why: String,
    /// What to do about it.
    pub to_do: &'static str,
    /// Rules that say so.
    pub rules: Vec<String>,
}

/// Which changes touch a thing.
enum TouchedBy {
    /// Any major change: Rf values of the two versions can't be compared.
    Major,
    /// These rules.
    Rules(&'static [&'static str]),
}

struct Consequence {
    what: &'static str,
    to_do: &'static str,
    touched_by: TouchedBy,
    why: &'static str,
}

const fn after_major(what: &'static str, to_do: &'static str, why: &'static str) -> Consequence {
    Consequence {
        what,
        to_do,
        touched_by: TouchedBy::Major,
        why,
    }
}

const fn after(
    what: &'static str,
    to_do: &'static str,
    rules: &'static [&'static str],
    why: &'static str,
) -> Consequence {
    Consequence {
        what,
        to_do,
        touched_by: TouchedBy::Rules(rules),
        why,
    }
}

const NEW_LIQUID: &[&str] = &[
    "composition_changed",
    "composition_adjusted",
    "composition_rewritten",
];

/// In the order in which people ask.
const CONSEQUENCES: [Consequence; 12] = [
    after_major(
        "reference set",
        "establish the reference set anew",
        "Rf values of the two versions can't be compared: references start again",
    ),
    after_major(
        "suitability limits and control charts",
        "set suitability limits and begin control charts anew",
        "their centres are Rf values of the old version",
    ),
    after_major(
        "critical pairs",
        "name the critical pairs anew",
        "which dyes lie close is another question now",
    ),
    after_major(
        "unknown mixtures",
        "choose unknown mixtures anew",
        "they were chosen for pairs that the old version separates",
    ),
    after_major(
        "class figures over both versions",
        "split class figures by version",
        "figures of the two are kept apart, never averaged",
    ),
    after(
        "unknown mixtures with the dye taken out",
        "replace the unknown mixtures that hold the dye",
        &["dye_removed"],
        "the dye can't be identified any more",
    ),
    after(
        "hand-out table",
        "print the hand-out table",
        &[
            "dye_added",
            "dye_removed",
            "reference_estimate_changed",
            "dye_appearance_changed",
        ],
        "it shows other values than the method",
    ),
    after(
        "bottle labels and preparation sheets",
        "print labels and preparation sheets",
        &[
            "composition_changed",
            "composition_adjusted",
            "composition_rewritten",
            "shelf_life_changed",
        ],
        "amounts, stocks or dates on them are the old ones",
    ),
    after(
        "stock of the old developing solvent",
        "quarantine the old developing solvent",
        &["composition_changed"],
        "one bottle of it in a room spoils the session",
    ),
    after(
        "printed sheets and templates",
        "print sheets and templates",
        &[
            "layout_changed",
            "run_length_changed",
            "measuring_convention_changed",
        ],
        "they show the old layout or way of measuring",
    ),
    after(
        "acknowledgement of the cautions",
        "have the cautions read and acknowledged",
        &["cautions_changed"],
        "everybody reads the new ones and signs again",
    ),
    after(
        "caution and waste card",
        "renew the caution and waste card",
        NEW_LIQUID,
        "the liquid or its stocks are others; local rules decide",
    ),
];

/// What the changes make invalid.
pub(super) fn invalid(diff: &Diff) -> Vec<Invalid> {
    let mut all: Vec<Invalid> = CONSEQUENCES
        .iter()
        .filter_map(|consequence| {
            let mut rules: Vec<String> = diff
                .changes
                .iter()
                .filter(|change| match consequence.touched_by {
                    TouchedBy::Major => change.bump == Bump::Major,
                    TouchedBy::Rules(rules) => rules.contains(&change.rule.as_str()),
                })
                .map(|change| change.rule.clone())
                .collect();
            rules.sort();
            rules.dedup();
            (!rules.is_empty()).then(|| Invalid {
                what: consequence.what,
                why: consequence.why.to_owned(),
                to_do: consequence.to_do,
                rules,
            })
        })
        .collect();
    if diff.required == Bump::Major && !all.iter().any(|i| i.what == "hand-out table") {
        all.push(Invalid {
            what: "hand-out table",
            why: "its Rf values are those of the old version".to_owned(),
            to_do: "print the hand-out table",
            rules: major_rules(diff),
        });
    }
    all
}

fn major_rules(diff: &Diff) -> Vec<String> {
    let major = diff
        .changes
        .iter()
        .filter(|change| change.bump == Bump::Major);
    let mut rules: Vec<String> = major.map(|change| change.rule.clone()).collect();
    rules.sort();
    rules.dedup();
    rules
}

/// What stays as it was, whatever changed.
pub(super) fn stays(diff: &Diff, from: &str) -> Vec<String> {
    let mut all = vec![
        format!("sheets recorded under {from} keep that version and can be run again as they were"),
        "Rf values written down earlier are not wrong".to_owned(),
    ];
    if diff.required < Bump::Major {
        all.push("Rf values recorded under both versions can be compared".to_owned());
    }
    let changed = |id: &str| diff.changes.iter().any(|change| change.rule == id);
    if !changed("layout_changed") && !changed("run_length_changed") {
        all.push("paper layout, templates and blank sheets".to_owned());
    }
    if !changed("stationary_phase_changed") {
        all.push("the paper".to_owned());
    }
    all
}
