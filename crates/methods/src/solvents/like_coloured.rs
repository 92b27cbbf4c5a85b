//! Whether two dyes look alike on paper.

use dyebook_documents::{ColourVerdict, DyeRegister, Reference, judge_colour};

/// Colour words of a dye in a method: the method's, else the dye's own.
pub(crate) fn colours(reference: &Reference, dyes: &DyeRegister) -> Vec<String> {
    match &reference.colours {
        Some(colours) if !colours.is_empty() => colours.clone(),
        _ => dyes
            .by_id(&reference.dye)
            .map_or(Vec::new(), |dye| dye.colours.clone()),
    }
}

/// Whether the first word of the one agrees with the other, or the other way round. Further words
/// are what some readers say; two dyes count as alike when a usual reading of one fits the other.
pub(crate) fn like_coloured(one: &[String], other: &[String]) -> bool {
    let agrees = |word: Option<&String>, with: &[String]| {
        judge_colour(word.map(String::as_str), with) == ColourVerdict::Agrees
    };
    agrees(one.first(), other) || agrees(other.first(), one)
}
