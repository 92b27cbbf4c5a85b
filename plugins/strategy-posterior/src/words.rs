//! Reasons in a coordinator's words.

use dyebook_plugin::strategy::{ColourVerdict, Decision, Reference, Spot, reasons};

use crate::Posterior;
use crate::choices::{Kind, LaneChoices};
use crate::decide::{Possible, Weighed};
use crate::known::KnownSpots;
use crate::observed::{Observed, is_at_an_end, is_faint};

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
    possible: &[Possible],
    stranger: f64,
) -> String {
    let mut sentences = match (decision, possible) {
        (Decision::Identified, [best, rest @ ..]) => {
            identified(strategy, lane, weighed, best, rest, stranger)
        }
        (Decision::NotInReferenceSet, _) => stranger_words(strategy, weighed, possible, stranger),
        (_, some) => undecided(strategy, weighed, around, some, stranger),
    };
    sentences.extend(paper_words(strategy, lane, around, possible));
    let likeliest = possible.first().and_then(|best| {
        let local = best.kind.targets().next()?;
        let target = &strategy.targets.all[lane.at[local]];
        Some(&strategy.set.references[target.reference])
    });
    sentences.extend(weaker_evidence(weighed.spot, weighed.seen.rf, likeliest));
    if !around.whole {
        sentences.push(format!(
            "The lane's {} spots allow too many readings to weigh all together, so each was \
             weighed by itself.",
            around.spots
        ));
    }
    sentences.join(" ")
}

fn identified(
    strategy: &Posterior,
    lane: &LaneChoices,
    weighed: &Weighed<'_>,
    best: &Possible,
    rest: &[Possible],
    stranger: f64,
) -> Vec<String> {
    let name = name(strategy, lane, best);
    let mut sentences = vec![format!(
        "Rf {} fits {name} (expected {} on this paper, give or take {}); {}; probability {}.",
        reasons::rounded(weighed.seen.rf, 2),
        reasons::rounded(best.mean, 2),
        reasons::rounded(2.0 * best.sd, 2),
        colour(weighed.spot, best.candidate.colour),
        percent(best.probability),
    )];
    let rivals: Vec<String> = rest
        .iter()
        .filter(|rival| rival.probability >= NAMED_FROM / 4.0)
        .map(|rival| {
            format!(
                "{} {}",
                name_of(&rival.candidate.dyes),
                percent(rival.probability)
            )
        })
        .collect();
    if !rivals.is_empty() {
        sentences.push(format!("Other readings: {}.", reasons::all_of(&rivals)));
    } else if stranger >= NAMED_FROM / 4.0 {
        let left = percent(stranger);
        sentences.push(format!("A dye outside the reference set keeps {left}."));
    }
    sentences
}

fn stranger_words(
    strategy: &Posterior,
    weighed: &Weighed<'_>,
    possible: &[Possible],
    stranger: f64,
) -> Vec<String> {
    let rf = reasons::rounded(weighed.seen.rf, 2);
    let none = format!(
        "At Rf {rf} no dye of the reference set fits by both place and colour; probability of none \
         of them {}.",
        percent(stranger)
    );
    let nearest = possible.first().map(|best| {
        format!(
            "The nearest reading is {}, expected at {}, with {}.",
            name_of(&best.candidate.dyes),
            reasons::rounded(best.mean, 2),
            percent(best.probability)
        )
    });
    let far = || {
        let near = strategy.nearest(weighed.seen.rf)?;
        Some(format!(
            "The nearest dye is {}, expected at {}.",
            strategy.dye_of(near),
            reasons::rounded(strategy.targets.all[near].rf, 2)
        ))
    };
    [Some(none), nearest.or_else(far)]
        .into_iter()
        .flatten()
        .collect()
}

fn undecided(
    strategy: &Posterior,
    weighed: &Weighed<'_>,
    around: &Around<'_>,
    possible: &[Possible],
    stranger: f64,
) -> Vec<String> {
    let rf = reasons::rounded(weighed.seen.rf, 2);
    let mut readings: Vec<String> = possible
        .iter()
        .filter(|option| option.probability >= NAMED_FROM)
        .map(|option| {
            format!(
                "{} ({})",
                name_of(&option.candidate.dyes),
                percent(option.probability)
            )
        })
        .collect();
    if stranger >= NAMED_FROM {
        readings.push(format!(
            "a dye outside the reference set ({})",
            percent(stranger)
        ));
    }
    let readings = reasons::one_or_other(&readings);
    let mut sentences = vec![format!(
        "Rf {rf} may be {readings}; the evidence does not decide."
    )];
    sentences.extend(what_would_decide(strategy, around, possible, stranger));
    sentences
}

/// What would tell the two foremost readings apart.
fn what_would_decide(
    strategy: &Posterior,
    around: &Around<'_>,
    possible: &[Possible],
    stranger: f64,
) -> Option<String> {
    let best = possible.first()?;
    let dye = name_of(&best.candidate.dyes);
    let rival = possible
        .get(1)
        .filter(|rival| rival.probability >= stranger);
    let Some(rival) = rival else {
        let bridging = if around.known.here < 2 {
            "two bridging lanes on this paper would sharpen the place; "
        } else {
            ""
        };
        return Some(format!(
            "What would decide: {bridging}a mixed spot of the sample and {dye} that stays one spot \
             supports {dye}, two spots rule it out."
        ));
    };
    if matches!(best.kind, Kind::Two(..)) || matches!(rival.kind, Kind::Two(..)) {
        return Some(
            "What would decide: a longer run or another developing solvent, which may pull one \
             spot into two."
                .into(),
        );
    }
    let other = name_of(&rival.candidate.dyes);
    let gap = (best.mean - rival.mean).abs();
    // after bridging, a spot scatters by little more than the spread on one paper
    let on_paper = strategy
        .targets
        .all
        .iter()
        .map(|t| t.within)
        .fold(0.0, f64::max);
    if around.known.here < 2 && gap > 3.0 * on_paper {
        return Some(format!(
            "What would decide: two bridging lanes on this paper; {dye} and {other} are expected \
             {} apart, and only the paper's own shift hides which it is.",
            reasons::rounded(gap, 2)
        ));
    }
    Some(format!(
        "What would decide: a mixed spot of the sample with {dye} and one with {other}, or another \
         developing solvent; {} apart is too near for one spot on this paper.",
        reasons::rounded(gap, 3)
    ))
}

/// Where the paper's shift comes from, and how large it is.
fn paper_words(
    strategy: &Posterior,
    lane: &LaneChoices,
    around: &Around<'_>,
    possible: &[Possible],
) -> Option<String> {
    let best = possible.first()?;
    let Kind::One(local) = best.kind else {
        return None;
    };
    let shift = best.mean - strategy.targets.all[lane.at[local]].rf;
    let (here, all) = (around.known.here, around.known.spots.len());
    let source = match (here, all - here) {
        (0, 0) => {
            return Some(
                "No known lane runs beside it, so only the reference set's own spread counts."
                    .into(),
            );
        }
        (0, there) => format!("{} of the session's other papers", known_spots(there)),
        (here, 0) => format!("{} on this paper", known_spots(here)),
        (here, there) => {
            let here = known_spots(here);
            format!("{here} on this paper and {there} on the session's others")
        }
    };
    (shift.abs() >= SHIFT_TOLD_FROM).then(|| {
        let way = if shift > 0.0 { "higher" } else { "lower" };
        format!(
            "By {source} the dye is expected {} {way} here than its assigned value.",
            reasons::rounded(shift.abs(), 3)
        )
    })
}

fn known_spots(number: usize) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} known spot{plural}")
}

/// Why the spot counts less than another.
fn weaker_evidence(spot: &Spot, rf: f64, likeliest: Option<&Reference>) -> Option<String> {
    let mut why = Vec::new();
    if let Some(tail) = reasons::tail_note(spot, likeliest) {
        return Some(tail);
    }
    if is_faint(spot) {
        why.push("is faint");
    }
    if is_at_an_end(rf) {
        why.push("lies at an end of the paper, where spots pile up");
    }
    (!why.is_empty()).then(|| format!("The spot {}, so it counts less.", reasons::all_of(&why)))
}

/// What the colour says about one dye, or about two in one spot.
pub(crate) fn verdict(strategy: &Posterior, seen: &Observed, targets: &[usize]) -> ColourVerdict {
    let Some(word) = seen.colour else {
        return ColourVerdict::NotJudged;
    };
    let target = |at: &usize| &strategy.targets.all[*at];
    match targets {
        [one] => target(one).verdicts[word],
        [a, b] => {
            let (a, b) = (target(a), target(b));
            let mixed = strategy.colours.verdict_of_pair(word, [a.usual, b.usual]);
            // without a hue of their own they look like either
            mixed.unwrap_or_else(|| a.verdicts[word].min(b.verdicts[word]))
        }
        _ => ColourVerdict::NotJudged,
    }
}

fn name(strategy: &Posterior, lane: &LaneChoices, option: &Possible) -> String {
    match option.kind {
        Kind::One(local) if strategy.targets.all[lane.at[local]].minor => {
            format!(
                "the expected minor spot of {}",
                name_of(&option.candidate.dyes)
            )
        }
        _ => name_of(&option.candidate.dyes),
    }
}

fn name_of(dyes: &[String]) -> String {
    match dyes {
        [a, b] => format!("{a} and {b} in one spot"),
        _ => reasons::all_of(dyes),
    }
}

fn colour(spot: &Spot, verdict: ColourVerdict) -> String {
    let seen = spot
        .colour
        .as_deref()
        .map(str::trim)
        .filter(|word| !word.is_empty());
    match (verdict, seen) {
        (ColourVerdict::Agrees, Some(seen)) => format!("colour {seen} agrees"),
        (ColourVerdict::Disagrees, Some(seen)) => format!("colour {seen} disagrees"),
        (ColourVerdict::NotJudged, Some(seen)) => format!("colour {seen} not judged"),
        (_, None) => "colour not judged, none is noted".into(),
    }
}

/// A probability in per cent, with as many digits as are worth telling.
fn percent(probability: f64) -> String {
    let decimals = usize::from(!(0.01..0.995).contains(&probability));
    if probability > 0.9995 {
        "above 99.9 %".into()
    } else {
        format!("{} %", reasons::rounded(100.0 * probability, decimals))
    }
}
