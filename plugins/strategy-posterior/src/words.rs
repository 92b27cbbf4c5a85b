//! Reasons in a coordinator's words.

use dyebook_plugin::strategy::{ColourVerdict, Decision, Reference, Spot, reasons};

use crate::Posterior;
use crate::choices::{Kind, LaneChoices};
use crate::decide::{Possible, Weighed};
use crate::known::KnownSpots;
use crate::observed::{Observed, is_at_an_end, is_faint};
use crate::telling::Telling;

/// Rivals that a reason names.
const NAMED_FROM: f64 = 0.02;
/// A shift of the paper that is worth a word.
const SHIFT_TOLD_FROM: f64 = 0.005;

/// What the lane's surroundings say.
pub(crate) struct Around<'a> {
    pub(crate) known: &'a KnownSpots,
    /// Whether the lane was weighed as a whole.
    pub(crate) whole: bool,
    /// Spots in the lane.
    pub(crate) spots: usize,
}

pub(crate) fn reason(
    strategy: &Posterior,
    lane: &LaneChoices,
    weighed: &Weighed<'_>,
    around: &Around<'_>,
    decision: Decision,
    possible: &[Possible<'_>],
    stranger: f64,
) -> String {
    let mut text = Telling::new();
    match (decision, possible) {
        (Decision::Identified, [best, rest @ ..]) => {
            identified(&mut text, strategy, lane, weighed, best, rest, stranger);
        }
        (Decision::NotInReferenceSet, _) => {
            stranger_words(&mut text, strategy, weighed, possible, stranger);
        }
        (_, some) => undecided(&mut text, strategy, weighed, around, some, stranger),
    }
    paper_words(&mut text, strategy, lane, around, possible);
    let likeliest = possible.first().and_then(|best| {
        let local = best.kind.targets().next()?;
        let target = &strategy.targets.all[lane.at[local]];
        Some(&strategy.set.references[target.reference])
    });
    weaker_evidence(&mut text, weighed.spot, weighed.seen.rf, likeliest);
    if !around.whole {
        text.sentence("The lane's ").number(around.spots).text(
            " spots allow too many readings to weigh all together, so each was weighed by itself.",
        );
    }
    text.end()
}

fn identified(
    text: &mut Telling,
    strategy: &Posterior,
    lane: &LaneChoices,
    weighed: &Weighed<'_>,
    best: &Possible<'_>,
    rest: &[Possible<'_>],
    stranger: f64,
) {
    text.sentence("Rf ")
        .rounded(weighed.seen.rf, 2)
        .text(" fits ");
    if matches!(best.kind, Kind::One(local) if strategy.targets.all[lane.at[local]].minor) {
        text.text("the expected minor spot of ");
    }
    text.dyes(best.dyes)
        .text(" (expected ")
        .rounded(best.mean, 2)
        .text(" on this paper, give or take ")
        .rounded(2.0 * best.sd, 2)
        .text("); ");
    colour(text, weighed.spot, best.colour);
    text.text("; probability ")
        .percent(best.probability)
        .text(".");
    let is_rival = |rival: &&Possible<'_>| rival.probability >= NAMED_FROM / 4.0;
    let rivals = rest.iter().filter(is_rival).count();
    if rivals > 0 {
        text.sentence("Other readings: ");
        for (item, rival) in rest.iter().filter(is_rival).enumerate() {
            text.before(item, rivals, " and ")
                .dyes(rival.dyes)
                .text(" ")
                .percent(rival.probability);
        }
        text.text(".");
    } else if stranger >= NAMED_FROM / 4.0 {
        text.sentence("A dye outside the reference set keeps ")
            .percent(stranger)
            .text(".");
    }
}

fn stranger_words(
    text: &mut Telling,
    strategy: &Posterior,
    weighed: &Weighed<'_>,
    possible: &[Possible<'_>],
    stranger: f64,
) {
    text.sentence("At Rf ")
        .rounded(weighed.seen.rf, 2)
        .text(
            " no dye of the reference set fits by both place and colour; probability of none of \
             them ",
        )
        .percent(stranger)
        .text(".");
    if let Some(best) = possible.first() {
        text.sentence("The nearest reading is ")
            .dyes(best.dyes)
            .text(", expected at ")
            .rounded(best.mean, 2)
            .text(", with ")
            .percent(best.probability)
            .text(".");
    } else if let Some(near) = strategy.nearest(weighed.seen.rf) {
        text.sentence("The nearest dye is ")
            .text(strategy.dye_of(near))
            .text(", expected at ")
            .rounded(strategy.targets.all[near].rf, 2)
            .text(".");
    }
}

fn undecided(
    text: &mut Telling,
    strategy: &Posterior,
    weighed: &Weighed<'_>,
    around: &Around<'_>,
    possible: &[Possible<'_>],
    stranger: f64,
) {
    text.sentence("Rf ")
        .rounded(weighed.seen.rf, 2)
        .text(" may be ");
    let is_named = |option: &&Possible<'_>| option.probability >= NAMED_FROM;
    let tells_stranger = stranger >= NAMED_FROM;
    let dyes = possible.iter().filter(is_named).count();
    let readings = dyes + usize::from(tells_stranger);
    for (item, option) in possible.iter().filter(is_named).enumerate() {
        text.before(item, readings, " or ")
            .dyes(option.dyes)
            .text(" (")
            .percent(option.probability)
            .text(")");
    }
    if tells_stranger {
        text.before(dyes, readings, " or ")
            .text("a dye outside the reference set (")
            .percent(stranger)
            .text(")");
    }
    text.text("; the evidence does not decide.");
    what_would_decide(text, strategy, around, possible, stranger);
}

/// What would tell the two foremost readings apart.
fn what_would_decide(
    text: &mut Telling,
    strategy: &Posterior,
    around: &Around<'_>,
    possible: &[Possible<'_>],
    stranger: f64,
) {
    let Some(best) = possible.first() else { return };
    let rival = possible
        .get(1)
        .filter(|rival| rival.probability >= stranger);
    text.sentence("What would decide: ");
    let Some(rival) = rival else {
        if around.known.here < 2 {
            text.text("two bridging lanes on this paper would sharpen the place; ");
        }
        text.text("a mixed spot of the sample and ")
            .dyes(best.dyes)
            .text(" that stays one spot supports ")
            .dyes(best.dyes)
            .text(", two spots rule it out.");
        return;
    };
    if matches!(best.kind, Kind::Two(..)) || matches!(rival.kind, Kind::Two(..)) {
        text.text("a longer run or another developing solvent, which may pull one spot into two.");
        return;
    }
    let gap = (best.mean - rival.mean).abs();
    // after bridging, a spot scatters by little more than the spread on one paper
    if around.known.here < 2 && gap > 3.0 * strategy.targets.widest_on_paper {
        text.text("two bridging lanes on this paper; ")
            .dyes(best.dyes)
            .text(" and ")
            .dyes(rival.dyes)
            .text(" are expected ")
            .rounded(gap, 2)
            .text(" apart, and only the paper's own shift hides which it is.");
        return;
    }
    text.text("a mixed spot of the sample with ")
        .dyes(best.dyes)
        .text(" and one with ")
        .dyes(rival.dyes)
        .text(", or another developing solvent; ")
        .rounded(gap, 3)
        .text(" apart is too near for one spot on this paper.");
}

/// Where the paper's shift comes from, and how large it is.
fn paper_words(
    text: &mut Telling,
    strategy: &Posterior,
    lane: &LaneChoices,
    around: &Around<'_>,
    possible: &[Possible<'_>],
) {
    let Some((best, Kind::One(local))) = possible.first().map(|best| (best, best.kind)) else {
        return;
    };
    let (here, all) = (around.known.here, around.known.spots.len());
    let there = all - here;
    if all == 0 {
        text.sentence(
            "No known lane runs beside it, so only the reference set's own spread counts.",
        );
        return;
    }
    let shift = best.mean - strategy.targets.all[lane.at[local]].rf;
    if shift.abs() < SHIFT_TOLD_FROM {
        return;
    }
    text.sentence("By ");
    match (here, there) {
        (0, _) => text
            .known_spots(there)
            .text(" of the session's other papers"),
        (_, 0) => text.known_spots(here).text(" on this paper"),
        _ => text
            .known_spots(here)
            .text(" on this paper and ")
            .number(there)
            .text(" on the session's others"),
    };
    text.text(" the dye is expected ")
        .rounded(shift.abs(), 3)
        .text(if shift > 0.0 { " higher" } else { " lower" })
        .text(" here than its assigned value.");
}

/// Why the spot counts less than another.
fn weaker_evidence(text: &mut Telling, spot: &Spot, rf: f64, likeliest: Option<&Reference>) {
    if let Some(tail) = reasons::tail_note(spot, likeliest) {
        text.sentence(&tail);
        return;
    }
    let (is_faint, is_at_an_end) = (is_faint(spot), is_at_an_end(rf));
    if !is_faint && !is_at_an_end {
        return;
    }
    text.sentence("The spot ");
    if is_faint {
        text.text("is faint");
    }
    if is_faint && is_at_an_end {
        text.text(" and ");
    }
    if is_at_an_end {
        text.text("lies at an end of the paper, where spots pile up");
    }
    text.text(", so it counts less.");
}

/// What the colour says about one dye, or about two in one spot.
pub(crate) fn verdict(
    strategy: &Posterior,
    seen: &Observed,
    one: usize,
    other: Option<usize>,
) -> ColourVerdict {
    let Some(word) = seen.colour else {
        return ColourVerdict::NotJudged;
    };
    let a = &strategy.targets.all[one];
    let Some(other) = other else {
        return a.verdicts[word];
    };
    let b = &strategy.targets.all[other];
    let mixed = strategy.colours.verdict_of_pair(word, [a.usual, b.usual]);
    // without a hue of their own they look like either
    mixed.unwrap_or_else(|| a.verdicts[word].min(b.verdicts[word]))
}

fn colour(text: &mut Telling, spot: &Spot, verdict: ColourVerdict) {
    let seen = spot
        .colour
        .as_deref()
        .map(str::trim)
        .filter(|word| !word.is_empty());
    let Some(seen) = seen else {
        text.text("colour not judged, none is noted");
        return;
    };
    text.text("colour ").text(seen).text(match verdict {
        ColourVerdict::Agrees => " agrees",
        ColourVerdict::Disagrees => " disagrees",
        ColourVerdict::NotJudged => " not judged",
    });
}
