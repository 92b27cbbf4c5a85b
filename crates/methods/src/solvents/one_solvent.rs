//! How well one method separates a set of dyes.

use super::like_coloured::{colours, like_coloured};
use super::pair::{DyePair, pair};
use super::solvent_error::SolventError;
use super::spread::{SpotSpread, spot_spread};
use dyebook_documents::{DyeRegister, Method, Reference};
use dyebook_statistics::planar::{
    discriminating_power, mean_list_length, multispot_response, pairs_not_separated,
    retention_distance, retention_uniformity, smallest_gap,
};
use serde::Serialize;
use std::collections::BTreeMap;

/// Widths of spots in the direction of flow, as parts of the front distance, by dye.
pub type SpotWidths = BTreeMap<String, f64>;

/// A dye in one method.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlacedDye {
    /// The dye.
    pub dye: String,
    /// Its expected Rf.
    pub rf: f64,
    /// Colour words.
    pub colours: Vec<String>,
    /// How far its spots stray.
    pub spread: SpotSpread,
}

/// How well one method separates a set of dyes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OneSolvent {
    /// The method version.
    pub method: String,
    /// The dyes from the start line up.
    pub dyes: Vec<PlacedDye>,
    /// Smallest gap of all neighbours.
    pub smallest_gap: f64,
    /// Smallest gap among dyes that look alike; `None` where no two do.
    pub smallest_gap_like_coloured: Option<f64>,
    /// The pair that is confused most often of all.
    pub critical_pair: DyePair,
    /// The pair that is confused most often among dyes that look alike.
    pub critical_pair_like_coloured: Option<DyePair>,
    /// All pairs, the most often confused first.
    pub pairs: Vec<DyePair>,
    /// Share of pairs that are further apart than the window.
    pub discriminating_power: f64,
    /// Pairs that are not.
    pub pairs_not_separated: usize,
    /// Mean number of dyes that a spot could be, itself among them.
    pub mean_list_length: f64,
    /// Retention uniformity: 1 for equal steps.
    pub retention_uniformity: f64,
    /// Retention distance: 1 for equal steps, 0 where two dyes coincide.
    pub retention_distance: f64,
    /// Multispot response: 1 for equal steps, 0 where two dyes coincide.
    pub multispot_response: f64,
    /// Share of the dyes between Rf 0.1 and 0.9.
    pub share_in_working_range: f64,
}

/// Where Rf says most (common practice, no source).
const WORKING_RANGE: std::ops::RangeInclusive<f64> = 0.1..=0.9;

/// How well one method separates the dyes.
pub(super) fn one_solvent(
    method: &Method,
    dyes: &[String],
    register: &DyeRegister,
    window: f64,
    widths: &SpotWidths,
) -> Result<OneSolvent, SolventError> {
    let references: Vec<&Reference> = dyes
        .iter()
        .filter_map(|dye| method.reference(dye))
        .collect();
    let mut placed: Vec<PlacedDye> = references
        .iter()
        .map(|reference| PlacedDye {
            dye: reference.dye.clone(),
            rf: reference.centre(),
            colours: colours(reference, register),
            spread: spot_spread(reference),
        })
        .collect();
    placed.sort_by(|a, b| a.rf.total_cmp(&b.rf).then_with(|| a.dye.cmp(&b.dye)));
    let pairs = all_pairs(&placed, widths)?;
    // Outside 0..1 stands a reading error; for an index the spot is at the start or the front.
    let rf: Vec<f64> = placed.iter().map(|p| p.rf.clamp(0.0, 1.0)).collect();
    let alike = || pairs.iter().filter(|pair| pair.like_coloured);
    let within = rf.iter().filter(|rf| WORKING_RANGE.contains(*rf)).count();
    #[expect(clippy::cast_precision_loss, reason = "a set of dyes is small")]
    let share = within as f64 / rf.len() as f64;
    Ok(OneSolvent {
        method: method.name(),
        smallest_gap: smallest_gap(&rf)?,
        smallest_gap_like_coloured: alike().map(|pair| pair.gap).min_by(f64::total_cmp),
        critical_pair: pairs
            .first()
            .cloned()
            .ok_or(SolventError::TooFewDyes { found: rf.len() })?,
        critical_pair_like_coloured: alike().next().cloned(),
        discriminating_power: discriminating_power(&[&rf], window)?,
        pairs_not_separated: pairs_not_separated(&[&rf], window)?,
        mean_list_length: mean_list_length(&[&rf], window)?,
        retention_uniformity: retention_uniformity(&rf)?,
        retention_distance: retention_distance(&rf)?,
        multispot_response: multispot_response(&rf)?,
        share_in_working_range: share,
        dyes: placed,
        pairs,
    })
}

fn all_pairs(placed: &[PlacedDye], widths: &SpotWidths) -> Result<Vec<DyePair>, SolventError> {
    let mut pairs = Vec::new();
    for (index, one) in placed.iter().enumerate() {
        for other in &placed[index + 1..] {
            let alike = like_coloured(&one.colours, &other.colours);
            pairs.push(pair(one, other, alike, widths)?);
        }
    }
    pairs.sort_by(|a, b| {
        (b.confusion.total_cmp(&a.confusion))
            .then_with(|| a.gap.total_cmp(&b.gap))
            .then_with(|| a.dyes.cmp(&b.dyes))
    });
    Ok(pairs)
}
