//! What looks wrong in a method document beyond its schema. One lint a file.

mod lint;

mod acid_with_erythrosine;
mod amount_impossible;
mod amount_unknown;
mod assigned_outside_range;
mod basis_missing;
mod caution_missing;
mod caution_undated;
mod colour_word_unknown;
mod component_repeated;
mod composition_not_computable;
mod dates_reversed;
mod dye_repeated;
mod dye_unknown;
mod fractions_dont_add_up;
mod layout_does_not_fit;
mod named_dye_without_reference;
mod no_single_way_to_volume;
mod overlap_not_listed;
mod range_reversed;
mod range_too_narrow;
mod range_too_wide;
mod range_touches_edge;
mod reference_from_one_paper;
mod reference_provisional;
mod reference_without_evidence;
mod salt_with_erythrosine;
mod start_line_in_liquid;
mod substance_unknown;

pub use lint::{Context, Finding, Lint, LintExample};

use dyebook_documents::{DyeRegister, Method};
use serde_json::Value;

/// All lints, sorted by id.
pub const LINTS: &[Lint] = &[
    acid_with_erythrosine::LINT,
    amount_impossible::LINT,
    amount_unknown::LINT,
    assigned_outside_range::LINT,
    basis_missing::LINT,
    caution_missing::LINT,
    caution_undated::LINT,
    colour_word_unknown::LINT,
    component_repeated::LINT,
    composition_not_computable::LINT,
    dates_reversed::LINT,
    dye_repeated::LINT,
    dye_unknown::LINT,
    fractions_dont_add_up::LINT,
    layout_does_not_fit::LINT,
    named_dye_without_reference::LINT,
    no_single_way_to_volume::LINT,
    overlap_not_listed::LINT,
    range_reversed::LINT,
    range_too_narrow::LINT,
    range_too_wide::LINT,
    range_touches_edge::LINT,
    reference_from_one_paper::LINT,
    reference_provisional::LINT,
    reference_without_evidence::LINT,
    salt_with_erythrosine::LINT,
    start_line_in_liquid::LINT,
    substance_unknown::LINT,
];

/// Everything that the lints find, what stops first.
///
/// `document` is the method as JSON and `method` the same, read; `dyes` are the dyes known.
pub fn lint(method: &Method, document: &Value, dyes: &DyeRegister) -> Vec<Finding> {
    let context = Context::new(method, document, dyes);
    let mut findings: Vec<Finding> = LINTS.iter().flat_map(|lint| (lint.run)(&context)).collect();
    findings.sort_by(|a, b| {
        (b.severity.cmp(&a.severity))
            .then_with(|| a.path.cmp(&b.path))
            .then_with(|| a.lint.cmp(b.lint))
    });
    findings
}

#[cfg(test)]
mod tests;
