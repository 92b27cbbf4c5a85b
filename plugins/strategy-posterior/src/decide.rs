//! From probabilities to a decision.

use dyebook_plugin::strategy::{Candidate, Decision, RfRange, Spot, SpotAnswer};

use crate::Posterior;
use crate::choices::{Choice, Kind, LaneChoices};
use crate::observed::Observed;
use crate::words::{self, Around};

/// So much probability of dyes may stay untold: what is missing from a spot's candidates is then, but
/// for this, the probability of none of the set. Hundreds of dyes may share it.
const UNTOLD: f64 = 0.001;

/// Something a spot may be, as it is told.
#[derive(Debug)]
pub(crate) struct Possible {
    pub(crate) kind: Kind,
    pub(crate) probability: f64,
    /// Expected Rf on this paper.
    pub(crate) mean: f64,
    /// Standard deviation of the spot about it.
    pub(crate) sd: f64,
    pub(crate) candidate: Candidate,
}

/// A spot's probabilities.
pub(crate) struct Weighed<'a> {
    pub(crate) spot: &'a Spot,
    pub(crate) seen: &'a Observed,
    pub(crate) choices: &'a [Choice],
    pub(crate) shares: &'a [f64],
}

/// The answer for one spot.
pub(crate) fn decide(
    strategy: &Posterior,
    lane: &LaneChoices,
    weighed: &Weighed<'_>,
    around: &Around<'_>,
) -> SpotAnswer {
    let (possible, stranger) = possible(strategy, lane, weighed);
    let decision = decision(strategy, &possible, stranger);
    let reason = words::reason(
        strategy, lane, weighed, around, decision, &possible, stranger,
    );
    // of their own size: what holds all that is worked out on them is much larger
    let mut candidates = Vec::with_capacity(possible.len());
    candidates.extend(possible.into_iter().map(|option| option.candidate));
    SpotAnswer::new(weighed.spot, decision, candidates, reason)
}

fn decision(strategy: &Posterior, possible: &[Possible], stranger: f64) -> Decision {
    let config = &strategy.config;
    let probability = |rank: usize| possible.get(rank).map_or(0.0, |option| option.probability);
    let (best, next) = (probability(0), probability(1));
    if stranger >= config.not_in_set_at || possible.is_empty() {
        Decision::NotInReferenceSet
    } else if best >= config.identify_at && best >= config.gap * next {
        Decision::Identified
    } else {
        Decision::Indistinguishable
    }
}

/// What the spot may be, most probable first, and the probability of none of the set. A dye's main
/// and minor spot are one candidate: either way it is that dye.
fn possible(
    strategy: &Posterior,
    lane: &LaneChoices,
    weighed: &Weighed<'_>,
) -> (Vec<Possible>, f64) {
    let of = |choice: usize| weighed.shares[choice].clamp(0.0, 1.0);
    let is_stranger = |choice: &usize| weighed.choices[*choice].kind == Kind::Stranger;
    let choices = 0..weighed.choices.len();
    let stranger = choices.clone().filter(is_stranger).map(of).sum::<f64>();
    let mut dyes: Vec<usize> = choices.filter(|choice| !is_stranger(choice)).collect();
    dyes.sort_by(|a, b| of(*b).total_cmp(&of(*a)));
    let mut left: f64 = dyes.iter().map(|choice| of(*choice)).sum();
    let mut all: Vec<Possible> = Vec::new();
    for number in dyes {
        if left < UNTOLD && !all.is_empty() {
            break;
        }
        let (choice, share) = (&weighed.choices[number], of(number));
        left -= share;
        let targets = || choice.kind.targets().map(|target| lane.at[target]);
        let is_same = |known: &&mut Possible| {
            let dyes = targets().map(|target| strategy.dye_of(target));
            dyes.eq(known.candidate.dyes.iter().map(String::as_str))
        };
        match all.iter_mut().find(is_same) {
            Some(known) => known.probability += share,
            None => all.push(option(strategy, lane, weighed, choice, share)),
        }
    }
    all.sort_by(|a, b| {
        let order = b.probability.total_cmp(&a.probability);
        order.then_with(|| a.candidate.dyes.cmp(&b.candidate.dyes))
    });
    // the parts of one whole may add up to a last digit above it
    let total = stranger + all.iter().map(|option| option.probability).sum::<f64>();
    for option in &mut all {
        option.probability /= total.max(1.0);
        option.candidate.probability = Some(option.probability);
    }
    (all, stranger)
}

fn option(
    strategy: &Posterior,
    lane: &LaneChoices,
    weighed: &Weighed<'_>,
    choice: &Choice,
    probability: f64,
) -> Possible {
    let place = |target: usize| lane.at[target];
    let (first, second) = match choice.kind {
        // never told as a dye
        Kind::Stranger => (0, None),
        Kind::One(a) => (place(a), None),
        Kind::Two(a, b) => (place(a), Some(place(b))),
    };
    let sd = (choice.variance * lane.scale).sqrt();
    let reference = &strategy.set.references[strategy.targets.all[first].reference];
    let colour = words::verdict(strategy, weighed.seen, first, second);
    let mut candidate = Candidate::new(reference, weighed.seen.rf, colour);
    let second = second.map(|place| strategy.dye_of(place).to_owned());
    candidate.dyes.extend(second);
    candidate.rf_difference = weighed.seen.rf - choice.mean;
    candidate.expected = RfRange {
        low: choice.mean - 2.0 * sd,
        high: choice.mean + 2.0 * sd,
    };
    Possible {
        kind: choice.kind,
        probability,
        mean: choice.mean,
        sd,
        candidate,
    }
}
