//! When two recipes make the same liquid.

use super::canonical::CanonicalComposition;
use serde::Serialize;
use std::collections::BTreeMap;

/// How far apart two contents may lie and still be the same, as a part of the larger one.
///
/// Handbooks differ by 0.2 % in the density of concentrated acetic acid, and what is measured by
/// cylinder is not known better than 0.5 % (common practice, no source).
pub const SAME_LIQUID_TOLERANCE: f64 = 0.005;

/// Contents below this are none, g/L: a thousandth of a milligram in a millilitre.
const NOTHING_G_PER_L: f64 = 1e-6;

/// A substance of which two liquids hold different amounts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ContentDifference {
    /// Identifier of the substance.
    pub substance: String,
    /// The name shown.
    pub name: String,
    /// Grams in a litre of the one.
    pub from_g_per_l: f64,
    /// Grams in a litre of the other.
    pub to_g_per_l: f64,
}

/// The substances of which two liquids hold different amounts.
///
/// # Shape and units
/// `tolerance_g_per_l` holds wider tolerances of single substances, g/L; for the others
/// [`SAME_LIQUID_TOLERANCE`] of the larger content counts.
///
/// # Formula
/// ```text
/// |a − b| > max(tolerance, 0.005 · max(a, b))
/// ```
///
/// # Source
/// The tolerance is common practice, no source; its size follows from the density tables.
///
/// # Examples
/// ```
/// # use dyebook_methods::composition::{canonical, content_differences};
/// let glacial = serde_json::from_str(r#"{"components": [
///     {"substance": "water", "make_up_to_volume": true},
///     {"substance": "acetic acid", "amount": 1, "basis": "% v/v"}]}"#)?;
/// let vinegar = serde_json::from_str(r#"{"components": [
///     {"substance": "water", "make_up_to_volume": true},
///     {"substance": "acetic acid", "amount": 1, "basis": "% v/v",
///      "stock": {"name": "vinegar", "strength": 5, "basis": "% w/v"}}]}"#)?;
/// let differences =
///     content_differences(&canonical(&glacial)?, &canonical(&vinegar)?, &Default::default());
/// assert_eq!(differences.len(), 1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn content_differences(
    from: &CanonicalComposition,
    to: &CanonicalComposition,
    tolerance_g_per_l: &BTreeMap<String, f64>,
) -> Vec<ContentDifference> {
    let mut names: BTreeMap<&str, &str> = BTreeMap::new();
    for content in from.substances.iter().chain(&to.substances) {
        names.entry(&content.substance).or_insert(&content.name);
    }
    names
        .into_iter()
        .filter_map(|(substance, name)| {
            let (a, b) = (from.g_per_l(substance), to.g_per_l(substance));
            let stated = tolerance_g_per_l.get(substance).copied().unwrap_or(0.0);
            let allowed = stated
                .max(SAME_LIQUID_TOLERANCE * a.max(b))
                .max(NOTHING_G_PER_L);
            ((a - b).abs() > allowed).then(|| ContentDifference {
                substance: substance.to_owned(),
                name: name.to_owned(),
                from_g_per_l: a,
                to_g_per_l: b,
            })
        })
        .collect()
}

/// Whether two recipes make the same liquid.
pub fn same_liquid(one: &CanonicalComposition, other: &CanonicalComposition) -> bool {
    content_differences(one, other, &BTreeMap::new()).is_empty()
}
