//! Spots of known identity on this paper and on the session's other papers.

use dyebook_plugin::strategy::{KnownLane, Question};
use dyebook_statistics::matching::assignment;

use crate::Posterior;
use crate::observed::Observed;

/// A known spot farther than so many standard deviations from where its dye belongs is no evidence
/// for the paper: its label, lane or distance is wrong, which is for the entry checks to say.
const BELIEVED: f64 = 4.0;

/// A spot whose target is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Known {
    pub(crate) target: usize,
    /// Whether it stands on the paper of the lane under question.
    pub(crate) here: bool,
    /// A number of its paper, the same for all lanes of a sheet.
    pub(crate) paper: usize,
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
    /// Collects those around another lane.
    pub(crate) fn gather(&mut self, strategy: &Posterior, question: &Question<'_>) {
        self.spots.clear();
        self.here = 0;
        let mut before: Option<Paper<'_>> = None;
        for lane in question.known() {
            // lanes of one paper nearly always stand together
            let paper = match before {
                Some(paper) if paper.name == lane.paper => paper,
                _ => Paper::of(lane, question),
            };
            before = Some(paper);
            spots_of(strategy, lane, |target, seen| {
                let expected = &strategy.targets.all[target];
                let noise = seen.noise(expected.within);
                let variance = expected.variance_apart + noise;
                if (seen.rf - expected.rf).powi(2) <= BELIEVED * BELIEVED * variance {
                    self.here += usize::from(paper.here);
                    self.spots.push(Known {
                        target,
                        here: paper.here,
                        paper: paper.number,
                        rf: seen.rf,
                        noise,
                    });
                }
            });
        }
    }
}

/// The paper of a known lane.
#[derive(Clone, Copy)]
struct Paper<'a> {
    name: &'a str,
    /// Place of its first lane among the sheet's known lanes.
    number: usize,
    here: bool,
}

impl<'a> Paper<'a> {
    fn of(lane: &'a KnownLane, question: &Question<'_>) -> Self {
        let mut lanes = question.sheet.known.iter();
        Self {
            name: &lane.paper,
            number: lanes
                .position(|other| other.paper == lane.paper)
                .unwrap_or(0),
            here: lane.paper == question.lane.paper,
        }
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
