//! What each spot of a lane may be: a dye's main spot, an expected minor spot, two dyes in one
//! spot, or none of the set.

use dyebook_statistics::distribution::normal_cdf;

use crate::Posterior;
use crate::filled;
use crate::lane::Minors;
use crate::observed::Observed;
use crate::paper::Prediction;

/// A choice that is so much less probable than the best one for its spot is left out. The
/// probability lost stays below this times the number of choices left out.
const NEGLIGIBLE: f64 = 1e-6;

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

impl Kind {
    /// The lane's targets it takes.
    pub(crate) fn targets(self) -> impl Iterator<Item = usize> {
        let (first, second) = match self {
            Self::Stranger => (None, None),
            Self::One(a) => (Some(a), None),
            Self::Two(a, b) => (Some(a), Some(b)),
        };
        first.into_iter().chain(second)
    }

    fn renumbered(self, new: impl Fn(usize) -> usize) -> Self {
        match self {
            Self::Stranger => Self::Stranger,
            Self::One(a) => Self::One(new(a)),
            Self::Two(a, b) => Self::Two(new(a), new(b)),
        }
    }
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

/// The choices of a lane's spots, and the targets they are about.
#[derive(Clone, Debug)]
pub(crate) struct LaneChoices {
    /// Positions of the targets in the set's list, rising.
    pub(crate) at: Vec<usize>,
    /// For each spot, the stranger first.
    pub(crate) of_spots: Vec<Vec<Choice>>,
    /// Covariance of the expected Rf of the targets, row by row; empty where they are too many.
    covariance: Vec<f64>,
    /// The lane's main spots whose dyes have minor spots.
    pub(crate) minors: Vec<Minors>,
    pub(crate) scale: f64,
    pub(crate) df: f64,
    /// How many known spots the prediction rests on.
    pub(crate) known: usize,
}

/// Up to so many targets in a lane their covariances are worked out, and sets of them held in bits.
const JOINT_UP_TO: usize = 64;

impl LaneChoices {
    pub(crate) fn new(strategy: &Posterior, prediction: &Prediction, seen: &[Observed]) -> Self {
        let density = Density::new(strategy, prediction);
        let mut of_spots: Vec<Vec<Choice>> = seen
            .iter()
            .map(|spot| choices(strategy, prediction, &density, spot))
            .collect();
        let kept = renumber(strategy, prediction, &mut of_spots);
        let size = kept.len();
        let mut covariance = Vec::new();
        if size <= JOINT_UP_TO {
            covariance.resize(size * size, 0.0);
            for (i, a) in kept.iter().enumerate() {
                for (j, b) in kept[..=i].iter().enumerate() {
                    let both = prediction.covariance(&strategy.targets, *a, *b);
                    covariance[i * size + j] = both;
                    covariance[j * size + i] = both;
                }
            }
        }
        let at: Vec<usize> = kept.iter().map(|local| prediction.at[*local]).collect();
        let minors = minors(strategy, &at);
        Self {
            at,
            of_spots,
            covariance,
            minors,
            scale: prediction.scale,
            df: prediction.df,
            known: prediction.known,
        }
    }

    /// Whether the targets are few enough to be taken together.
    pub(crate) fn is_joint(&self) -> bool {
        self.at.len() <= JOINT_UP_TO
    }

    /// Covariance of the expected Rf of two choices.
    #[inline]
    pub(crate) fn covariance(&self, a: Kind, b: Kind) -> f64 {
        let of = |a: usize, b: usize| self.covariance[a * self.at.len() + b];
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

/// Numbers the targets that any choice is about from 0, and drops minor spots whose dye no spot may
/// be the main spot of. Returns the places of those that are kept in the prediction.
fn renumber(
    strategy: &Posterior,
    prediction: &Prediction,
    of_spots: &mut [Vec<Choice>],
) -> Vec<usize> {
    let mut used = filled(false, prediction.at.len());
    for choice in of_spots.iter().flatten() {
        choice.kind.targets().for_each(|target| used[target] = true);
    }
    let is_orphan = |local: usize| {
        let target = &strategy.targets.all[prediction.at[local]];
        let main = || {
            let main = strategy.targets.mains[target.reference];
            prediction.at.binary_search(&main)
        };
        target.minor && !main().is_ok_and(|main| used[main])
    };
    let orphans: Vec<usize> = (0..used.len())
        .filter(|local| used[*local] && is_orphan(*local))
        .collect();
    let mut new = filled(0, used.len());
    let mut kept = Vec::with_capacity(used.len());
    for (local, used) in used.iter().enumerate() {
        if *used && !orphans.contains(&local) {
            new[local] = kept.len();
            kept.push(local);
        }
    }
    for choices in of_spots {
        if !orphans.is_empty() {
            let is_orphan = |target: usize| orphans.contains(&target);
            choices.retain(|choice| !choice.kind.targets().any(is_orphan));
        }
        for choice in choices {
            choice.kind = choice.kind.renumbered(|old| new[old]);
        }
    }
    kept
}

fn minors(strategy: &Posterior, at: &[usize]) -> Vec<Minors> {
    let all = &strategy.targets;
    if !all.any_minor || at.len() > JOINT_UP_TO {
        return Vec::new();
    }
    let of = |(main, position): (usize, &usize)| {
        let target = &all.all[*position];
        let minors = &all.minors[target.reference];
        if target.minor || minors.is_empty() {
            return None;
        }
        let places = minors
            .iter()
            .filter_map(|minor| at.binary_search(minor).ok());
        Some(Minors {
            main: 1 << main,
            bits: places.fold(0, |bits, place| bits | 1 << place),
            count: minors.len(),
        })
    };
    at.iter().enumerate().filter_map(of).collect()
}

/// Student's t of one spot, its constant worked out once.
struct Density {
    constant: f64,
    df: f64,
    scale: f64,
}

impl Density {
    fn new(strategy: &Posterior, prediction: &Prediction) -> Self {
        let (df, scale) = (prediction.df, prediction.scale);
        let constant = strategy.constants.at_zero(prediction.known);
        Self {
            constant: constant - scale.ln() / 2.0,
            df,
            scale,
        }
    }

    fn log(&self, deviation: f64, variance: f64) -> f64 {
        let squared = deviation * deviation / (variance * self.scale);
        self.constant
            - variance.ln() / 2.0
            - f64::midpoint(self.df, 1.0) * (squared / self.df).ln_1p()
    }
}

/// The choices of one spot, the stranger first.
fn choices(
    strategy: &Posterior,
    prediction: &Prediction,
    density: &Density,
    seen: &Observed,
) -> Vec<Choice> {
    let stranger = stranger(strategy, seen);
    let mut all = Vec::with_capacity(8);
    all.push(stranger);
    // the stranger alone bounds what is worth working out
    let floor = stranger.log_alone + NEGLIGIBLE.ln();
    for (local, at) in prediction.at.iter().enumerate() {
        let target = &strategy.targets.all[*at];
        let prior = if target.minor {
            0.0
        } else {
            strategy.log_dye_prior
        };
        let log_prior = prior + seen.log_colour_of(target);
        let noise = seen.noise(target.within);
        let (mean, variance) = (prediction.mean[local], prediction.variance[local] + noise);
        let log_alone = log_prior + density.log(seen.rf - mean, variance);
        if log_alone >= floor {
            let kind = Kind::One(local);
            all.push(Choice {
                kind,
                log_prior,
                mean,
                noise,
                variance,
                log_alone,
            });
        }
    }
    keep_probable(&mut all);
    add_pairs(strategy, prediction, density, seen, &mut all);
    all
}

/// Adds two dyes in one spot, for the best dyes of the spot.
fn add_pairs(
    strategy: &Posterior,
    prediction: &Prediction,
    density: &Density,
    seen: &Observed,
    all: &mut Vec<Choice>,
) {
    let is_main = |choice: &Choice| match choice.kind {
        Kind::One(local) if !strategy.targets.all[prediction.at[local]].minor => {
            Some((local, choice.log_alone))
        }
        _ => None,
    };
    if all.iter().filter_map(is_main).nth(1).is_none() {
        return;
    }
    let mut mains: Vec<(usize, f64)> = all.iter().filter_map(is_main).collect();
    mains.sort_by(|a, b| b.1.total_cmp(&a.1));
    mains.truncate(DYES_IN_PAIRS);
    let alone = all.len();
    for (k, (a, _)) in mains.iter().enumerate() {
        for (b, _) in &mains[..k] {
            if let Some(mut pair) = two_in_one(strategy, prediction, seen, *a.min(b), *a.max(b)) {
                pair.log_alone = pair.log_prior + density.log(seen.rf - pair.mean, pair.variance);
                all.push(pair);
            }
        }
    }
    if all.len() > alone {
        keep_probable(all);
    }
}

fn keep_probable(all: &mut Vec<Choice>) {
    let best = all
        .iter()
        .map(|choice| choice.log_alone)
        .fold(f64::NEG_INFINITY, f64::max);
    let least = best + NEGLIGIBLE.ln();
    all.retain(|choice| choice.kind == Kind::Stranger || choice.log_alone >= least);
}

/// A dye that nobody has listed may lie anywhere on the paper and have any colour.
fn stranger(strategy: &Posterior, seen: &Observed) -> Choice {
    let log_prior = strategy.log_unknown_prior + seen.log_colour(&strategy.any_colour);
    let (mean, noise, variance) = (seen.rf, 1.0, 1.0);
    Choice {
        kind: Kind::Stranger,
        log_prior,
        mean,
        noise,
        variance,
        log_alone: log_prior,
    }
}

/// Two dyes too near each other on this paper to show as two spots. Their common spot lies between them, nearer
/// to the stronger one, so that its centre may be anywhere between.
fn two_in_one(
    strategy: &Posterior,
    prediction: &Prediction,
    seen: &Observed,
    a: usize,
    b: usize,
) -> Option<Choice> {
    let gap = (prediction.mean[a] - prediction.mean[b]).abs();
    let joint = prediction.covariance(&strategy.targets, a, b);
    let target = |local: usize| &strategy.targets.all[prediction.at[local]];
    let (first, second) = (target(a), target(b));
    let log_colour = seen.colour.map_or(0.0, |word| {
        let (usual, shares) = (
            [first.usual, second.usual],
            [&first.colours[..], &second.colours[..]],
        );
        seen.log_share(
            strategy.colours.of_pair(word, usual, shares),
            first.colours.len(),
        )
    });
    let own = [seen.noise(first.within), seen.noise(second.within)];
    let apart = prediction.variance[a] + prediction.variance[b] - 2.0 * joint + own[0] + own[1];
    let merged = nearer_than(strategy.config.merge_distance, gap, apart.sqrt());
    if merged < NEGLIGIBLE {
        return None;
    }
    let noise = f64::midpoint(own[0], own[1]) + gap * gap / 12.0;
    let place = (prediction.variance[a] + prediction.variance[b] + 2.0 * joint) / 4.0;
    Some(Choice {
        kind: Kind::Two(a, b),
        log_prior: 2.0 * strategy.log_dye_prior + merged.ln() + log_colour,
        mean: f64::midpoint(prediction.mean[a], prediction.mean[b]),
        noise,
        variance: place + noise,
        log_alone: f64::NEG_INFINITY,
    })
}

/// Probability that two spots expected `gap` apart, with a standard deviation of `sd` of their
/// distance, lie nearer to each other than `limit`.
fn nearer_than(limit: f64, gap: f64, sd: f64) -> f64 {
    normal_cdf((limit - gap) / sd) - normal_cdf((-limit - gap) / sd)
}
