//! A version rule: data in `rules/<id>.toml`, read once.

use super::bump::Bump;
use super::path_pattern::matches;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// A version rule.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Name that never changes; the file's name too.
    pub id: String,
    /// The step that it asks for.
    pub bump: Bump,
    /// What it sees, in a few words.
    pub title: String,
    /// Why that step, in a sentence.
    pub why: String,
    /// Where it looks: JSON Pointers in which `*` stands for any one key.
    pub paths: Vec<String>,
    /// Which kind of difference it sees.
    #[serde(default)]
    pub when: When,
    /// What decides where looking isn't enough.
    #[serde(default)]
    pub compute: Option<Compute>,
    /// The sentence about one change, with `{what}`, `{name}`, `{from}`, `{to}`.
    pub message: String,
    /// Changes that it sees.
    pub fires: Vec<RuleExample>,
    /// Changes that it doesn't see.
    pub silent: Vec<RuleExample>,
}

/// Which kind of difference a rule sees.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum When {
    /// Any.
    #[default]
    Changed,
    /// Nothing stood there before.
    Added,
    /// Nothing stands there now.
    Removed,
}

/// What decides where looking at a place isn't enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Compute {
    /// The liquids that the recipes make.
    Composition,
    /// The longest run that the layout allows.
    RunLength,
}

/// A change to an example method.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RuleExample {
    /// In words.
    pub what: String,
    /// Values set, by JSON Pointer (an index one past the end appends).
    #[serde(default)]
    pub set: BTreeMap<String, toml::Value>,
    /// Members taken out, by JSON Pointer.
    #[serde(default)]
    pub unset: Vec<String>,
}

impl Rule {
    /// Whether the rule looks at a place for that kind of difference.
    pub(super) fn looks_at(&self, path: &str, kind: When) -> bool {
        let kind_fits = self.when == When::Changed || self.when == kind;
        kind_fits && self.paths.iter().any(|pattern| matches(pattern, path))
    }

    /// How exactly its pattern names the place: literal keys count.
    pub(super) fn exactness(&self, path: &str) -> usize {
        self.paths
            .iter()
            .filter(|pattern| matches(pattern, path))
            .map(|pattern| pattern.split('/').filter(|key| *key != "*").count())
            .max()
            .unwrap_or(0)
    }
}

macro_rules! file {
    ($id:literal) => {
        ($id, include_str!(concat!("../../rules/", $id, ".toml")))
    };
}

/// The rules, sorted by id. A test compares the list with the folder.
pub(super) const FILES: &[(&str, &str)] = &[
    file!("acceptance_changed"),
    file!("anything_else_changed"),
    file!("cautions_changed"),
    file!("chamber_changed"),
    file!("chamber_size_changed"),
    file!("component_tolerance_changed"),
    file!("composition_adjusted"),
    file!("composition_changed"),
    file!("composition_rewritten"),
    file!("control_list_changed"),
    file!("critical_pairs_changed"),
    file!("dye_added"),
    file!("dye_appearance_changed"),
    file!("dye_lot_changed"),
    file!("dye_removed"),
    file!("dye_supplier_changed"),
    file!("effective_dates_changed"),
    file!("evidence_minimum_changed"),
    file!("layout_changed"),
    file!("measuring_convention_changed"),
    file!("method_id_changed"),
    file!("paper_lot_changed"),
    file!("reading_sd_changed"),
    file!("reference_estimate_changed"),
    file!("run_length_changed"),
    file!("shelf_life_changed"),
    file!("stationary_phase_changed"),
    file!("temperature_window_changed"),
    file!("wording_changed"),
];

/// All version rules, sorted by id.
pub fn rules() -> &'static [Rule] {
    #[expect(
        clippy::expect_used,
        reason = "the rules are embedded; a test reads every one of them"
    )]
    static RULES: LazyLock<Vec<Rule>> = LazyLock::new(|| {
        FILES
            .iter()
            .map(|(_, text)| toml::from_str(text).expect("an embedded rule is well formed"))
            .collect()
    });
    &RULES
}

/// The rule with that id.
#[expect(
    clippy::expect_used,
    reason = "asked with the ids of embedded rules only; a test asks for each"
)]
pub(super) fn rule(id: &str) -> &'static Rule {
    rules()
        .iter()
        .find(|rule| rule.id == id)
        .expect("an embedded rule has that id")
}
