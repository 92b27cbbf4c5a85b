//! Dyes whose spots look alike, so that only Rf tells them apart.

use super::standards::colours;
use dyebook_documents::{ColourVerdict, DyeRegister, Method, judge_colour};

/// Two dyes of like colour and the distance of their expected values.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Neighbours {
    pub(crate) lower: String,
    pub(crate) upper: String,
    pub(crate) gap: f64,
}

/// All pairs of like colour, the closest first.
pub(crate) fn like_coloured(method: &Method, dyes: &DyeRegister) -> Vec<Neighbours> {
    let mut pairs = Vec::new();
    for (position, one) in method.references.iter().enumerate() {
        for other in method.references.iter().skip(position + 1) {
            let (first, second) = (
                colours(method, dyes, &one.dye),
                colours(method, dyes, &other.dye),
            );
            if !(usual_agrees(&first, &second) || usual_agrees(&second, &first)) {
                continue;
            }
            let (lower, upper) = if one.centre() <= other.centre() {
                (one, other)
            } else {
                (other, one)
            };
            pairs.push(Neighbours {
                lower: lower.dye.clone(),
                upper: upper.dye.clone(),
                gap: upper.centre() - lower.centre(),
            });
        }
    }
    pairs.sort_by(|a, b| a.gap.total_cmp(&b.gap));
    pairs
}

/// Whether the usual colour of one dye would be taken for the other.
fn usual_agrees(one: &[String], other: &[String]) -> bool {
    let usual = one.first().map(String::as_str);
    judge_colour(usual, other) == ColourVerdict::Agrees
}
