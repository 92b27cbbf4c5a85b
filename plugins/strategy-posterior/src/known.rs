//! Spots of known identity on this paper and on the session's other papers.

use dyebook_plugin::strategy::{KnownLane, Question};
use dyebook_statistics::matching::assignment;

use crate::Posterior;
use crate::observed::Observed;

/// A known spot farther than so many standard deviations from where its dye belongs is no evidence
/// for the paper: its label, lane or distance is wrong, which is for the entry checks to say.
const BELIEVED: f64 = 4.0;

/// A spot whose target is known.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Known {
    pub(crate) target: usize,
    pub(crate) here: bool,
    pub(crate) paper: u32,
    pub(crate) rf: f64,
    pub(crate) noise: f64,
}

/// The known spots around a lane.
#[derive(Clone, Debug, Default)]
pub(crate) struct KnownSpots {
    pub(crate) spots: Vec<Known>,
    /// How many of them stand on the lane's own paper.
    pub(crate) here: usize,
}

impl KnownSpots {
    pub(crate) fn around(strategy: &Posterior, question: &Question<'_>) -> Self {
        let mut found = Self::default();
        found.spots.reserve(question.sheet.known.len());
        let mut papers: Vec<&str> = vec![question.lane.paper.as_str()];
        for lane in question.known() {
            let at = papers
                .iter()
                .position(|paper| *paper == lane.paper)
                .unwrap_or_else(|| {
                    papers.push(lane.paper.as_str());
                    papers.len() - 1
                });
            let paper = u32::try_from(at).unwrap_or(u32::MAX);
            spots_of(strategy, lane, |target, seen| {
                let expected = &strategy.targets.all[target];
                let noise = seen.noise(expected.within);
                let variance = expected.variance_apart + noise;
                if (seen.rf - expected.rf).powi(2) <= BELIEVED * BELIEVED * variance {
                    let here = paper == 0;
                    found.here += usize::from(here);
                    found.spots.push(Known {
                        target,
                        here,
                        paper,
                        rf: seen.rf,
                        noise,
                    });
                }
            });
        }
        found
    }
}

/// Tells the main spots of a known lane: one spot for each of its dyes, those that fit best together.
fn spots_of(strategy: &Posterior, lane: &KnownLane, mut tell: impl FnMut(usize, Observed)) {
    if let ([dye], [spot]) = (lane.dyes.as_slice(), lane.spots.as_slice()) {
        let seen = Observed::place(spot, &strategy.config);
        if let (Some(target), Ok(seen)) = (strategy.main_of(dye), seen) {
            tell(target, seen);
        }
        return;
    }
    let seen: Vec<Observed> = lane
        .spots
        .iter()
        .filter_map(|spot| Observed::new(spot, &strategy.colours, &strategy.config).ok())
        .collect();
    let targets: Vec<usize> = lane
        .dyes
        .iter()
        .filter_map(|dye| strategy.main_of(dye))
        .collect();
    if targets.is_empty() || seen.len() < targets.len() {
        // fewer spots than dyes: nobody knows which dye is missing
        return;
    }
    let cost: Vec<Vec<f64>> = targets
        .iter()
        .map(|target| {
            let expected = &strategy.targets.all[*target];
            let away = |spot: &Observed| ((spot.rf - expected.rf) / expected.sd()).powi(2) / 2.0;
            seen.iter()
                .map(|spot| away(spot) - spot.log_colour_of(expected))
                .collect()
        })
        .collect();
    let Ok(best) = assignment(&cost) else { return };
    for (target, column) in targets.into_iter().zip(best.column_of_row) {
        if let Some(column) = column {
            tell(target, seen[column]);
        }
    }
}
