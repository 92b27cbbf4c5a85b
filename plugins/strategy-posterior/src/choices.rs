//! What each spot of a lane may be: a dye's main spot, an expected minor spot, two dyes in one
//! spot, or none of the set.

use dyebook_statistics::distribution::student_t_log_density;

use crate::Posterior;
use crate::observed::Observed;
use crate::paper::Prediction;

/// A choice that is so much less probable than the best one for its spot is left out. Over all
/// choices left out the probability lost stays below this times their number.
const NEGLIGIBLE: f64 = 1e-7;

/// Two dyes in one spot are looked for among so many best dyes of the spot.
const DYES_IN_PAIRS: usize = 8;

/// What a spot may be of; numbers are positions among the lane's targets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// No dye of the reference set.
    Stranger,
    /// The main or a minor spot of one dye.
    One(usize),
    /// Two dyes, main spots both.
    Two(usize, usize),
}

/// A choice with everything that weighs it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Choice {
    pub(crate) kind: Kind,
    /// Logarithm of prior times colour.
    pub(crate) log_prior: f64,
    /// Expected Rf.
    pub(crate) mean: f64,
    /// Variance of the spot about it that is the spot's own.
    pub(crate) noise: f64,
    /// Variance of the spot about the expected Rf, all in.
    pub(crate) variance: f64,
    /// Logarithm of prior, colour and density, of the spot seen by itself.
    pub(crate) log_alone: f64,
}

/// The lane's targets: positions in the set's list, and their joint prediction.
#[derive(Clone, Debug)]
pub(crate) struct LaneTargets {
    pub(crate) at: Vec<usize>,
    pub(crate) prediction: Prediction,
}

impl LaneTargets {
    /// For each target that is a main spot: the places of its dye's minor spots in this lane, and
    /// how many minor spots the dye has in all.
    pub(crate) fn minors(&self, strategy: &Posterior) -> Vec<(u64, i32)> {
        let of = |at: &usize| {
            let target = &strategy.targets.all[*at];
            if target.minor {
                return (0, 0);
            }
            let minors = &strategy.targets.minors[target.reference];
            let places = minors.iter().filter_map(|minor| self.at.binary_search(minor).ok());
            let bits = places.filter(|place| *place < 64).fold(0, |bits, place| bits | 1 << place);
            (bits, i32::try_from(minors.len()).unwrap_or(i32::MAX))
        };
        self.at.iter().map(of).collect()
    }

    /// Covariance of the expected Rf of two choices.
    pub(crate) fn covariance(&self, a: Kind, b: Kind) -> f64 {
        let of = |a: usize, b: usize| self.prediction.covariance(a, b);
        match (a, b) {
            (Kind::Stranger, _) | (_, Kind::Stranger) => 0.0,
            (Kind::One(a), Kind::One(b)) => of(a, b),
            (Kind::One(a), Kind::Two(b, c)) | (Kind::Two(b, c), Kind::One(a)) => {
                f64::midpoint(of(a, b), of(a, c))
            }
            (Kind::Two(a, b), Kind::Two(c, d)) => (of(a, c) + of(a, d) + of(b, c) + of(b, d)) / 4.0,
        }
    }
}

/// The choices of one spot, the stranger first.
pub(crate) fn choices(strategy: &Posterior, lane: &LaneTargets, seen: &Observed) -> Vec<Choice> {
    let prediction = &lane.prediction;
    let alone = |log_prior: f64, mean: f64, variance: f64| {
        let sd = (variance * prediction.scale).sqrt();
        let density = student_t_log_density((seen.rf - mean) / sd, prediction.df);
        log_prior + density.unwrap_or(f64::NEG_INFINITY) - sd.ln()
    };
    let mut all = vec![stranger(strategy, seen)];
    for (local, at) in lane.at.iter().enumerate() {
        let target = &strategy.targets.all[*at];
        let noise = seen.noise(target.within);
        let variance = prediction.covariance(local, local) + noise;
        let prior = if target.minor { 0.0 } else { strategy.log_dye_prior };
        let log_prior = prior + seen.log_colour(&target.colours);
        let mean = prediction.mean[local];
        let log_alone = alone(log_prior, mean, variance);
        all.push(Choice { kind: Kind::One(local), log_prior, mean, noise, variance, log_alone });
    }
    keep_probable(&mut all);
    let mut mains: Vec<(usize, f64)> = all
        .iter()
        .filter_map(|choice| match choice.kind {
            Kind::One(local) if !strategy.targets.all[lane.at[local]].minor => {
                Some((local, choice.log_alone))
            }
            _ => None,
        })
        .collect();
    mains.sort_by(|a, b| b.1.total_cmp(&a.1));
    mains.truncate(DYES_IN_PAIRS);
    for (k, (a, _)) in mains.iter().enumerate() {
        for (b, _) in &mains[..k] {
            if let Some(mut pair) = two_in_one(strategy, lane, seen, (*a.min(b), *a.max(b))) {
                pair.log_alone = alone(pair.log_prior, pair.mean, pair.variance);
                all.push(pair);
            }
        }
    }
    keep_probable(&mut all);
    all
}

fn keep_probable(all: &mut Vec<Choice>) {
    let best = all.iter().map(|choice| choice.log_alone).fold(f64::NEG_INFINITY, f64::max);
    let least = best + NEGLIGIBLE.ln();
    all.retain(|choice| choice.kind == Kind::Stranger || choice.log_alone >= least);
}

/// A dye that nobody has listed may lie anywhere on the paper and have any colour.
fn stranger(strategy: &Posterior, seen: &Observed) -> Choice {
    let log_prior = strategy.config.unknown_prior.ln() + seen.log_colour(&strategy.any_colour);
    let (mean, noise, variance) = (seen.rf, 1.0, 1.0);
    Choice { kind: Kind::Stranger, log_prior, mean, noise, variance, log_alone: log_prior }
}

/// Two dyes too near each other to show as two spots. Their common spot lies between them, nearer
/// to the stronger one, so that its centre may be anywhere between.
fn two_in_one(
    strategy: &Posterior,
    lane: &LaneTargets,
    seen: &Observed,
    (a, b): (usize, usize),
) -> Option<Choice> {
    let prediction = &lane.prediction;
    let gap = (prediction.mean[a] - prediction.mean[b]).abs();
    let merged = 1.0 - gap / strategy.config.merge_distance;
    if merged <= 0.0 {
        return None;
    }
    let (first, second) =
        (&strategy.targets.all[lane.at[a]], &strategy.targets.all[lane.at[b]]);
    let shares = strategy
        .colours
        .of_pair([first.usual, second.usual], [&first.colours, &second.colours]);
    let noise = f64::midpoint(seen.noise(first.within), seen.noise(second.within))
        + gap * gap / 12.0;
    let kind = Kind::Two(a, b);
    let log_prior = 2.0 * strategy.log_dye_prior + merged.ln() + seen.log_colour(&shares);
    let mean = f64::midpoint(prediction.mean[a], prediction.mean[b]);
    let variance = lane.covariance(kind, kind) + noise;
    Some(Choice { kind, log_prior, mean, noise, variance, log_alone: f64::NEG_INFINITY })
}
