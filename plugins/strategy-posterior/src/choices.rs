//! What each spot of a lane may be: a dye's main spot, an expected minor spot, two dyes in one
//! spot, or none of the set.

use std::ops::Range;

use dyebook_statistics::distribution::normal_cdf;
use smallvec::SmallVec;

use crate::lane::Minors;
use crate::observed::Observed;
use crate::paper::Prediction;
use crate::{Posterior, REACH};

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
#[derive(Clone, Debug, Default)]
pub(crate) struct LaneChoices {
    /// Positions of the targets in the set's list, rising.
    pub(crate) at: Vec<usize>,
    /// Of all spots, one after the other; for each the stranger first.
    pub(crate) all: Vec<Choice>,
    /// Where the choices of each spot end.
    ends: Vec<usize>,
    /// Covariance of the expected Rf of the targets, row by row; empty where they are too many, and
    /// for a single spot.
    covariance: Vec<f64>,
    /// The lane's main spots whose dyes have minor spots.
    pub(crate) minors: Vec<Minors>,
    pub(crate) scale: f64,
    pub(crate) df: f64,
    /// How many known spots the prediction rests on.
    pub(crate) known: usize,
    /// Positions of the targets near any of the spots, rising, and what becomes of each.
    near: Vec<usize>,
    fates: Vec<Fate>,
}

/// What becomes of a target that lies near a spot.
#[derive(Clone, Copy, Debug)]
enum Fate {
    /// No choice is about it.
    Unused,
    /// Some choice is.
    Used,
    /// A minor spot whose dye no spot may be the main spot of.
    Orphan,
    /// Its number among those that are kept.
    Kept(usize),
}

/// Up to so many targets in a lane their covariances are worked out, and sets of them held in bits.
const JOINT_UP_TO: usize = 64;

impl LaneChoices {
    /// Finds the choices of another lane.
    pub(crate) fn find(
        &mut self,
        strategy: &Posterior,
        prediction: &mut Prediction,
        seen: &[Observed],
    ) {
        let targets = &strategy.targets;
        self.near.clear();
        for spot in seen {
            let near = targets.near(spot.rf, REACH, spot.u * spot.widening);
            self.near.extend(near);
        }
        if seen.len() > 1 {
            self.near.sort_unstable();
            self.near.dedup();
        }
        prediction.tell(targets, &self.near);
        let density = Density::new(strategy, prediction);
        self.all.clear();
        self.ends.clear();
        for spot in seen {
            let begin = self.all.len();
            add_choices(
                (strategy, prediction, &density),
                spot,
                &self.near,
                &mut self.all,
            );
            debug_assert!(self.all.len() > begin, "there is always the stranger");
            self.ends.push(self.all.len());
        }
        self.renumber(strategy);
        self.correlate(strategy, prediction);
        self.find_minors(strategy);
        (self.scale, self.df) = (prediction.scale, prediction.df);
        self.known = prediction.known.len();
    }

    /// Where the choices of a spot stand among all.
    pub(crate) fn places(&self, spot: usize) -> Option<Range<usize>> {
        let end = *self.ends.get(spot)?;
        Some(spot.checked_sub(1).map_or(0, |before| self.ends[before])..end)
    }

    /// Of each spot its choices.
    pub(crate) fn of_spots(&self) -> impl Iterator<Item = &[Choice]> {
        let places = (0..self.spots()).filter_map(|spot| self.places(spot));
        places.map(|places| &self.all[places])
    }

    /// The choices of one spot.
    pub(crate) fn of_spot(&self, spot: usize) -> &[Choice] {
        self.places(spot).map_or(&[], |places| &self.all[places])
    }

    /// How many spots there are.
    pub(crate) fn spots(&self) -> usize {
        self.ends.len()
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

    /// Numbers the targets that any choice is about from 0, and drops minor spots whose dye no spot
    /// may be the main spot of.
    fn renumber(&mut self, strategy: &Posterior) {
        let (near, fates) = (&self.near, &mut self.fates);
        fates.clear();
        fates.resize(near.len(), Fate::Unused);
        for choice in &self.all {
            choice
                .kind
                .targets()
                .for_each(|target| fates[target] = Fate::Used);
        }
        let mut any_orphan = false;
        if strategy.targets.any_minor {
            for local in 0..near.len() {
                let target = &strategy.targets.all[near[local]];
                if target.minor && matches!(fates[local], Fate::Used) {
                    let main = strategy.targets.mains[target.reference];
                    let main = near.binary_search(&main);
                    if !main.is_ok_and(|main| matches!(fates[main], Fate::Used)) {
                        fates[local] = Fate::Orphan;
                        any_orphan = true;
                    }
                }
            }
        }
        self.at.clear();
        for (fate, position) in fates.iter_mut().zip(near) {
            if matches!(fate, Fate::Used) {
                *fate = Fate::Kept(self.at.len());
                self.at.push(*position);
            }
        }
        if any_orphan {
            self.drop_orphans();
        }
        let fates = &self.fates;
        let new = |old: usize| match fates[old] {
            Fate::Kept(new) => new,
            // no choice is left that is about another
            Fate::Unused | Fate::Used | Fate::Orphan => usize::MAX,
        };
        for choice in &mut self.all {
            choice.kind = choice.kind.renumbered(new);
        }
    }

    fn drop_orphans(&mut self) {
        let fates = &self.fates;
        let is_orphan = |target: usize| matches!(fates[target], Fate::Orphan);
        let (mut read, mut kept) = (0, 0);
        for end in &mut self.ends {
            for place in read..*end {
                let choice = self.all[place];
                if !choice.kind.targets().any(is_orphan) {
                    self.all[kept] = choice;
                    kept += 1;
                }
            }
            (read, *end) = (*end, kept);
        }
        self.all.truncate(kept);
    }

    fn correlate(&mut self, strategy: &Posterior, prediction: &Prediction) {
        let size = self.at.len();
        self.covariance.clear();
        if size > JOINT_UP_TO || self.spots() < 2 {
            return;
        }
        self.covariance.resize(size * size, 0.0);
        for (i, a) in self.at.iter().enumerate() {
            for (j, b) in self.at[..=i].iter().enumerate() {
                let both = prediction.covariance(&strategy.targets, *a, *b);
                self.covariance[i * size + j] = both;
                self.covariance[j * size + i] = both;
            }
        }
    }

    fn find_minors(&mut self, strategy: &Posterior) {
        self.minors.clear();
        let all = &strategy.targets;
        if !all.any_minor || self.at.len() > JOINT_UP_TO {
            return;
        }
        let at = &self.at;
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
        self.minors.extend(at.iter().enumerate().filter_map(of));
    }
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
        let constant = strategy.constants.at_zero(prediction.known.len());
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

/// What choices are found by.
type By<'a> = (&'a Posterior, &'a Prediction, &'a Density);

/// Adds the choices of one spot, the stranger first. They are about targets by their places among
/// those `near`.
fn add_choices(by: By<'_>, seen: &Observed, near: &[usize], all: &mut Vec<Choice>) {
    let (strategy, prediction, density) = by;
    let begin = all.len();
    let stranger = stranger(strategy, seen);
    all.push(stranger);
    // the stranger alone bounds what is worth working out
    let floor = stranger.log_alone + NEGLIGIBLE.ln();
    for (local, at) in near.iter().enumerate() {
        let (target, place) = (&strategy.targets.all[*at], prediction.place(*at));
        let prior = if target.minor {
            0.0
        } else {
            strategy.log_dye_prior
        };
        let log_prior = prior + seen.log_colour_of(target);
        let noise = seen.noise(target.within);
        let (mean, variance) = (place.mean, place.variance + noise);
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
    keep_probable(all, begin);
    add_pairs(by, seen, near, all, begin);
}

/// Adds two dyes in one spot, for the best dyes of the spot, whose choices begin at `begin`.
fn add_pairs(by: By<'_>, seen: &Observed, near: &[usize], all: &mut Vec<Choice>, begin: usize) {
    let (strategy, ..) = by;
    let is_main = |choice: &Choice| match choice.kind {
        Kind::One(local) if !strategy.targets.all[near[local]].minor => {
            Some((local, choice.log_alone))
        }
        _ => None,
    };
    let mut mains: SmallVec<[(usize, f64); 2 * DYES_IN_PAIRS]> =
        all[begin..].iter().filter_map(is_main).collect();
    if mains.len() < 2 {
        return;
    }
    mains.sort_by(|a, b| b.1.total_cmp(&a.1));
    mains.truncate(DYES_IN_PAIRS);
    let alone = all.len();
    let least = least(&all[begin..]);
    for (k, (a, _)) in mains.iter().enumerate() {
        for (b, _) in &mains[..k] {
            all.extend(two_in_one(by, seen, near, [*a.min(b), *a.max(b)], least));
        }
    }
    if all.len() > alone {
        keep_probable(all, begin);
    }
}

/// What a choice has to weigh beside these, not to be negligible.
fn least(choices: &[Choice]) -> f64 {
    let all = choices.iter().map(|choice| choice.log_alone);
    all.fold(f64::NEG_INFINITY, f64::max) + NEGLIGIBLE.ln()
}

/// Keeps those choices from `begin` on that are not negligible beside the best of them.
fn keep_probable(all: &mut Vec<Choice>, begin: usize) {
    let least = least(&all[begin..]);
    let mut kept = begin;
    for place in begin..all.len() {
        let choice = all[place];
        if choice.kind == Kind::Stranger || choice.log_alone >= least {
            all[kept] = choice;
            kept += 1;
        }
    }
    all.truncate(kept);
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

/// Two dyes too near each other on this paper to show as two spots. Their common spot lies between
/// them, nearer to the stronger one, so that its centre may be anywhere between. `None` where they
/// would not show as one, or would weigh less than `least`.
fn two_in_one(
    (strategy, prediction, density): By<'_>,
    seen: &Observed,
    near: &[usize],
    [a, b]: [usize; 2],
    least: f64,
) -> Option<Choice> {
    let (at_a, at_b) = (near[a], near[b]);
    let (of_a, of_b) = (prediction.place(at_a), prediction.place(at_b));
    let gap = (of_a.mean - of_b.mean).abs();
    let joint = prediction.covariance(&strategy.targets, at_a, at_b);
    let (first, second) = (&strategy.targets.all[at_a], &strategy.targets.all[at_b]);
    let own = [seen.noise(first.within), seen.noise(second.within)];
    let mean = f64::midpoint(of_a.mean, of_b.mean);
    let noise = f64::midpoint(own[0], own[1]) + gap * gap / 12.0;
    let place = (of_a.variance + of_b.variance + 2.0 * joint) / 4.0;
    let variance = place + noise;
    let log_density = density.log(seen.rf - mean, variance);
    let log_dyes = 2.0 * strategy.log_dye_prior;
    // what comes to it below are logarithms of probabilities, but for the last digits
    if log_dyes + log_density < least - 1e-6 {
        return None;
    }
    let apart = of_a.variance + of_b.variance - 2.0 * joint + own[0] + own[1];
    let merged = nearer_than(strategy.config.merge_distance, gap, apart.sqrt());
    if merged < NEGLIGIBLE {
        return None;
    }
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
    let log_prior = log_dyes + merged.ln() + log_colour;
    Some(Choice {
        kind: Kind::Two(a, b),
        log_prior,
        mean,
        noise,
        variance,
        log_alone: log_prior + log_density,
    })
}

/// Probability that two spots expected `gap` apart, with a standard deviation of `sd` of their
/// distance, lie nearer to each other than `limit`.
fn nearer_than(limit: f64, gap: f64, sd: f64) -> f64 {
    normal_cdf((limit - gap) / sd) - normal_cdf((-limit - gap) / sd)
}
