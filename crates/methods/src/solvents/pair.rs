//! How well two dyes are told apart by Rf.

use super::one_solvent::{PlacedDye, SpotWidths};
use super::solvent_error::SolventError;
use dyebook_statistics::planar::{resolution, wrong_side_risk};
use serde::Serialize;

/// Two dyes in one method.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DyePair {
    /// The dyes, the slower one first.
    pub dyes: [String; 2],
    /// Difference of their expected Rf.
    pub gap: f64,
    /// Whether they look alike on paper.
    pub like_coloured: bool,
    /// Gap in standard deviations of the difference of two spots.
    pub separation_index: f64,
    /// Probability that a spot falls on the wrong side of the middle, against the reference.
    pub confusion: f64,
    /// The same with two bridging lanes on the paper; `None` where the spread within a paper is
    /// not known.
    pub confusion_bridged: Option<f64>,
    /// Resolution, where both widths are known: 1 for two discs that just touch.
    pub resolution: Option<f64>,
    /// In a sentence.
    pub sentence: String,
}

/// How well two dyes are told apart.
///
/// # Formula
/// ```text
/// s² = (s_1² + s_2²)/2      confusion = Φ(−gap/(2s))      index = gap/√(s_1² + s_2²)
/// ```
pub(super) fn pair(
    one: &PlacedDye,
    other: &PlacedDye,
    like_coloured: bool,
    widths: &SpotWidths,
) -> Result<DyePair, SolventError> {
    let gap = other.rf - one.rf;
    let (a, b) = (one.spread.library, other.spread.library);
    let pooled = |a: f64, b: f64| a.hypot(b) / std::f64::consts::SQRT_2;
    let confusion = wrong_side_risk(gap, pooled(a, b))?;
    let bridged = one.spread.bridged.zip(other.spread.bridged);
    let confusion_bridged = bridged
        .map(|(a, b)| wrong_side_risk(gap, pooled(a, b)))
        .transpose()?;
    let both = widths.get(&one.dye).zip(widths.get(&other.dye));
    let resolution = both
        .map(|(v, w)| resolution(one.rf, other.rf, *v, *w))
        .transpose()?;
    let mut pair = DyePair {
        dyes: [one.dye.clone(), other.dye.clone()],
        gap,
        like_coloured,
        separation_index: gap / a.hypot(b),
        confusion,
        confusion_bridged,
        resolution,
        sentence: String::new(),
    };
    pair.sentence = sentence(&pair);
    Ok(pair)
}

fn sentence(pair: &DyePair) -> String {
    let [slower, faster] = &pair.dyes;
    let colour = if pair.like_coloured {
        "they look alike"
    } else {
        "their colours differ, which tells them apart"
    };
    let bridged = pair.confusion_bridged.map_or(String::new(), |risk| {
        format!(", {} with two bridging lanes", percent(risk))
    });
    let touching = match pair.resolution {
        Some(rs) if rs < 1.0 => format!("; their spots overlap (resolution {rs:.1})"),
        Some(rs) => format!("; their spots stand apart (resolution {rs:.1})"),
        None => String::new(),
    };
    format!(
        "{slower} and {faster} lie {:.3} apart in Rf, {colour}: {} of the spots fall nearer to the other one{bridged}{touching}",
        pair.gap,
        percent(pair.confusion)
    )
}

fn percent(probability: f64) -> String {
    let percent = 100.0 * probability;
    if percent < 0.1 {
        "less than 0.1 %".to_owned()
    } else if percent < 10.0 {
        format!("{percent:.1} %")
    } else {
        format!("{percent:.0} %")
    }
}
