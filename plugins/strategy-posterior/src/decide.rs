//! From probabilities to a decision.

use dyebook_plugin::strategy::{
    Candidate, ColourVerdict, Decision, Reference, RfRange, Spot, SpotAnswer,
};
use smallvec::SmallVec;

use crate::Posterior;
use crate::choices::{Choice, Kind, LaneChoices};
use crate::observed::Observed;
use crate::words::{self, Around};

/// So much probability of dyes may stay untold: what is missing from a spot's candidates is then, but
/// for this, the probability of none of the set. Hundreds of dyes may share it.
const UNTOLD: f64 = 0.001;

/// The dye of a spot, or the two that lie in one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Dyes<'a> {
    pub(crate) one: &'a str,
    pub(crate) other: Option<&'a str>,
}

/// Something a spot may be, as it is told.
#[derive(Debug)]
pub(crate) struct Possible<'a> {
    pub(crate) kind: Kind,
    pub(crate) dyes: Dyes<'a>,
    pub(crate) probability: f64,
    /// Expected Rf on this paper.
    pub(crate) mean: f64,
    /// Standard deviation of the spot about it.
    pub(crate) sd: f64,
    pub(crate) colour: ColourVerdict,
    reference: &'a Reference,
}

/// What a spot may be; seldom more than a few.
type Options<'a> = SmallVec<[Possible<'a>; 4]>;

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
    let candidate = |option: &Possible<'_>| option.candidate(weighed.seen.rf);
    let candidates = possible.iter().map(candidate).collect();
    SpotAnswer::new(weighed.spot, decision, candidates, reason)
}

fn decision(strategy: &Posterior, possible: &[Possible<'_>], stranger: f64) -> Decision {
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
fn possible<'a>(
    strategy: &'a Posterior,
    lane: &LaneChoices,
    weighed: &Weighed<'_>,
) -> (Options<'a>, f64) {
    let of = |choice: usize| weighed.shares[choice].clamp(0.0, 1.0);
    let is_stranger = |choice: &usize| weighed.choices[*choice].kind == Kind::Stranger;
    let choices = 0..weighed.choices.len();
    let stranger = choices.clone().filter(is_stranger).map(of).sum::<f64>();
    let mut order: SmallVec<[usize; 16]> = choices.filter(|choice| !is_stranger(choice)).collect();
    order.sort_by(|a, b| of(*b).total_cmp(&of(*a)));
    let mut left: f64 = order.iter().map(|choice| of(*choice)).sum();
    let mut all = Options::new();
    for number in order {
        if left < UNTOLD && !all.is_empty() {
            break;
        }
        let (choice, share) = (&weighed.choices[number], of(number));
        left -= share;
        let option = option(strategy, lane, weighed, choice, share);
        match all.iter_mut().find(|known| known.dyes == option.dyes) {
            Some(known) => known.probability += share,
            None => all.push(option),
        }
    }
    all.sort_by(|a, b| {
        let order = b.probability.total_cmp(&a.probability);
        order.then_with(|| a.dyes.cmp(&b.dyes))
    });
    // the parts of one whole may add up to a last digit above it
    let total = stranger + all.iter().map(|option| option.probability).sum::<f64>();
    for option in &mut all {
        option.probability /= total.max(1.0);
    }
    (all, stranger)
}

fn option<'a>(
    strategy: &'a Posterior,
    lane: &LaneChoices,
    weighed: &Weighed<'_>,
    choice: &Choice,
    probability: f64,
) -> Possible<'a> {
    let place = |target: usize| lane.at[target];
    let (first, second) = match choice.kind {
        // never told as a dye
        Kind::Stranger => (0, None),
        Kind::One(a) => (place(a), None),
        Kind::Two(a, b) => (place(a), Some(place(b))),
    };
    let dye = |target: usize| strategy.dye_of(target);
    Possible {
        kind: choice.kind,
        dyes: Dyes {
            one: dye(first),
            other: second.map(dye),
        },
        probability,
        mean: choice.mean,
        sd: (choice.variance * lane.scale).sqrt(),
        colour: words::verdict(strategy, weighed.seen, first, second),
        reference: &strategy.set.references[strategy.targets.all[first].reference],
    }
}

impl Possible<'_> {
    /// For the answer, of a spot at `rf`.
    fn candidate(&self, rf: f64) -> Candidate {
        let mut candidate = Candidate::new(self.reference, rf, self.colour);
        candidate.dyes.extend(self.dyes.other.map(Into::into));
        candidate.probability = Some(self.probability);
        candidate.rf_difference = rf - self.mean;
        candidate.expected = RfRange {
            low: self.mean - 2.0 * self.sd,
            high: self.mean + 2.0 * self.sd,
        };
        candidate.told()
    }
}
