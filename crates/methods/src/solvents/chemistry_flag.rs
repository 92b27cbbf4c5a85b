//! Dyes whose chemistry breaks the straight line.

use crate::composition::{CanonicalComposition, predicted_ph};
use dyebook_documents::Reference;

/// Words in a dye's `behaviour` that tell of more than a balance between paper and liquid.
const FLAGS: [&str; 9] = [
    "acid",
    "alkali",
    "base",
    "insoluble",
    "precipitate",
    "little-soluble",
    "decompose",
    "reacts",
    "breaks the line",
];

/// Food additives data book, erythrosine, p. 233: sparingly soluble acid below about pH 3 to 4.
const ERYTHROSINE_TURNS_BELOW_PH: f64 = 4.0;

/// Why a dye's RM can't go with composition in a line, where it can't.
pub(super) fn chemistry_flag(
    reference: &Reference,
    liquids: &[&CanonicalComposition],
) -> Option<String> {
    let behaviour = reference.behaviour.as_deref().unwrap_or_default();
    let lower = behaviour.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '-')
        .collect();
    let flagged = FLAGS
        .iter()
        .any(|flag| words.contains(flag) || (flag.contains(' ') && lower.contains(flag)));
    if flagged {
        return Some(format!("its behaviour breaks the line: `{behaviour}`"));
    }
    let acid = liquids
        .iter()
        .filter_map(|liquid| predicted_ph(liquid).ok())
        .any(|predicted| predicted.ph < ERYTHROSINE_TURNS_BELOW_PH);
    (reference.dye == "erythrosine" && acid)
        .then(|| "below about pH 4 it turns into a little-soluble acid".to_owned())
}
