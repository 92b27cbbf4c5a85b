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

/// Bytes that most reasons have room in.
const USUAL_LENGTH: usize = 320;

/// What the lane's surroundings say.
pub(crate) struct Around<'a> {
    pub(crate) known: &'a KnownSpots,
    /// Whether the lane was weighed as a whole.
    pub(crate) whole: bool,
    /// Spots in the lane.
    pub(crate) spots: usize,
}

/// A piece of a sentence.
#[derive(Clone, Copy)]
enum Part<'a> {
    Text(&'a str),
    /// A number with so many decimals.
    Rounded(f64, usize),
    /// A probability in per cent, with as many digits as are worth telling.
    Percent(f64),
    /// One dye, or two in one spot.
    Dyes(&'a [String]),
    /// So many known spots.
    Spots(usize),
}

use Part::{Dyes, Percent, Rounded, Spots, Text};

/// Adds a sentence, or the beginning of one.
fn say(text: &mut String, parts: &[Part<'_>]) {
    if !text.is_empty() {
        text.push(' ');
    }
    go_on(text, parts);
}

/// Goes on with a sentence.
fn go_on(text: &mut String, parts: &[Part<'_>]) {
    for part in parts {
        match *part {
            Text(words) => text.push_str(words),
            Rounded(value, decimals) => reasons::push_rounded(text, value, decimals),
            Percent(probability) if probability > 0.9995 => text.push_str("above 99.9 %"),
            Percent(probability) => {
                let decimals = usize::from(!(0.01..0.995).contains(&probability));
                reasons::push_rounded(text, 100.0 * probability, decimals);
                text.push_str(" %");
            }
            Dyes([a, b]) => go_on(
                text,
                &[Text(a), Text(" and "), Text(b), Text(" in one spot")],
            ),
            Dyes([dye]) => text.push_str(dye),
            Dyes(dyes) => text.push_str(&reasons::all_of(dyes)),
            Spots(1) => text.push_str("1 known spot"),
            Spots(number) => go_on(text, &[Text(&number.to_string()), Text(" known spots")]),
        }
    }
}

/// What stands before an item of a list: `a`, `a or b`, `a, b or c`.
fn before(item: usize, items: usize, last: &'static str) -> Part<'static> {
    Text(match item {
        0 => "",
        _ if item + 1 == items => last,
        _ => ", ",
    })
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
    let mut text = String::with_capacity(USUAL_LENGTH);
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
        let spots = around.spots.to_string();
        say(
            &mut text,
            &[
                Text("The lane's "),
                Text(&spots),
                Text(
                    " spots allow too many readings to weigh all together, so each was weighed by \
                     itself.",
                ),
            ],
        );
    }
    text
}

fn identified(
    text: &mut String,
    strategy: &Posterior,
    lane: &LaneChoices,
    weighed: &Weighed<'_>,
    best: &Possible,
    rest: &[Possible],
    stranger: f64,
) {
    let is_minor =
        matches!(best.kind, Kind::One(local) if strategy.targets.all[lane.at[local]].minor);
    let minor = if is_minor {
        "the expected minor spot of "
    } else {
        ""
    };
    say(
        text,
        &[
            Text("Rf "),
            Rounded(weighed.seen.rf, 2),
            Text(" fits "),
            Text(minor),
            Dyes(&best.candidate.dyes),
            Text(" (expected "),
            Rounded(best.mean, 2),
            Text(" on this paper, give or take "),
            Rounded(2.0 * best.sd, 2),
            Text("); "),
        ],
    );
    go_on(text, &colour(weighed.spot, best.candidate.colour));
    go_on(
        text,
        &[Text("; probability "), Percent(best.probability), Text(".")],
    );
    let is_rival = |rival: &&Possible| rival.probability >= NAMED_FROM / 4.0;
    let rivals = rest.iter().filter(is_rival).count();
    if rivals > 0 {
        say(text, &[Text("Other readings: ")]);
        for (item, rival) in rest.iter().filter(is_rival).enumerate() {
            let dyes = Dyes(&rival.candidate.dyes);
            let share = Percent(rival.probability);
            go_on(
                text,
                &[before(item, rivals, " and "), dyes, Text(" "), share],
            );
        }
        text.push('.');
    } else if stranger >= NAMED_FROM / 4.0 {
        let before = Text("A dye outside the reference set keeps ");
        say(text, &[before, Percent(stranger), Text(".")]);
    }
}

fn stranger_words(
    text: &mut String,
    strategy: &Posterior,
    weighed: &Weighed<'_>,
    possible: &[Possible],
    stranger: f64,
) {
    say(
        text,
        &[
            Text("At Rf "),
            Rounded(weighed.seen.rf, 2),
            Text(
                " no dye of the reference set fits by both place and colour; probability of none of \
                 them ",
            ),
            Percent(stranger),
            Text("."),
        ],
    );
    if let Some(best) = possible.first() {
        say(
            text,
            &[
                Text("The nearest reading is "),
                Dyes(&best.candidate.dyes),
                Text(", expected at "),
                Rounded(best.mean, 2),
                Text(", with "),
                Percent(best.probability),
                Text("."),
            ],
        );
    } else if let Some(near) = strategy.nearest(weighed.seen.rf) {
        say(
            text,
            &[
                Text("The nearest dye is "),
                Text(strategy.dye_of(near)),
                Text(", expected at "),
                Rounded(strategy.targets.all[near].rf, 2),
                Text("."),
            ],
        );
    }
}

fn undecided(
    text: &mut String,
    strategy: &Posterior,
    weighed: &Weighed<'_>,
    around: &Around<'_>,
    possible: &[Possible],
    stranger: f64,
) {
    say(
        text,
        &[Text("Rf "), Rounded(weighed.seen.rf, 2), Text(" may be ")],
    );
    let is_named = |option: &&Possible| option.probability >= NAMED_FROM;
    let tells_stranger = stranger >= NAMED_FROM;
    let dyes = possible.iter().filter(is_named).count();
    let readings = dyes + usize::from(tells_stranger);
    for (item, option) in possible.iter().filter(is_named).enumerate() {
        go_on(
            text,
            &[
                before(item, readings, " or "),
                Dyes(&option.candidate.dyes),
                Text(" ("),
                Percent(option.probability),
                Text(")"),
            ],
        );
    }
    if tells_stranger {
        let outside = Text("a dye outside the reference set (");
        let before = before(dyes, readings, " or ");
        go_on(text, &[before, outside, Percent(stranger), Text(")")]);
    }
    go_on(text, &[Text("; the evidence does not decide.")]);
    what_would_decide(text, strategy, around, possible, stranger);
}

/// What would tell the two foremost readings apart.
fn what_would_decide(
    text: &mut String,
    strategy: &Posterior,
    around: &Around<'_>,
    possible: &[Possible],
    stranger: f64,
) {
    let Some(best) = possible.first() else { return };
    let dye = Dyes(&best.candidate.dyes);
    let rival = possible
        .get(1)
        .filter(|rival| rival.probability >= stranger);
    say(text, &[Text("What would decide: ")]);
    let Some(rival) = rival else {
        if around.known.here < 2 {
            text.push_str("two bridging lanes on this paper would sharpen the place; ");
        }
        let (mixed, one) = (
            Text("a mixed spot of the sample and "),
            Text(" that stays one spot supports "),
        );
        return go_on(
            text,
            &[mixed, dye, one, dye, Text(", two spots rule it out.")],
        );
    };
    if matches!(best.kind, Kind::Two(..)) || matches!(rival.kind, Kind::Two(..)) {
        return text.push_str(
            "a longer run or another developing solvent, which may pull one spot into two.",
        );
    }
    let other = Dyes(&rival.candidate.dyes);
    let gap = (best.mean - rival.mean).abs();
    // after bridging, a spot scatters by little more than the spread on one paper
    if around.known.here < 2 && gap > 3.0 * strategy.targets.widest_on_paper {
        let (bridging, apart) = (
            Text("two bridging lanes on this paper; "),
            Text(" apart, and only the paper's own shift hides which it is."),
        );
        let (and, expected) = (Text(" and "), Text(" are expected "));
        return go_on(
            text,
            &[bridging, dye, and, other, expected, Rounded(gap, 2), apart],
        );
    }
    let (mixed, with) = (
        Text("a mixed spot of the sample with "),
        Text(" and one with "),
    );
    let (solvent, apart) = (
        Text(", or another developing solvent; "),
        Text(" apart is too near for one spot on this paper."),
    );
    go_on(
        text,
        &[mixed, dye, with, other, solvent, Rounded(gap, 3), apart],
    );
}

/// Where the paper's shift comes from, and how large it is.
fn paper_words(
    text: &mut String,
    strategy: &Posterior,
    lane: &LaneChoices,
    around: &Around<'_>,
    possible: &[Possible],
) {
    let Some((best, Kind::One(local))) = possible.first().map(|best| (best, best.kind)) else {
        return;
    };
    let (here, all) = (around.known.here, around.known.spots.len());
    let there = all - here;
    if all == 0 {
        let none = "No known lane runs beside it, so only the reference set's own spread counts.";
        return say(text, &[Text(none)]);
    }
    let shift = best.mean - strategy.targets.all[lane.at[local]].rf;
    if shift.abs() >= SHIFT_TOLD_FROM {
        say(text, &[Text("By ")]);
        match (here, there) {
            (0, _) => go_on(
                text,
                &[Spots(there), Text(" of the session's other papers")],
            ),
            (_, 0) => go_on(text, &[Spots(here), Text(" on this paper")]),
            _ => {
                let others = there.to_string();
                let (and, of) = (
                    Text(" on this paper and "),
                    Text(" on the session's others"),
                );
                go_on(text, &[Spots(here), and, Text(&others), of]);
            }
        }
        let way = if shift > 0.0 { " higher" } else { " lower" };
        let (expected, than) = (
            Text(" the dye is expected "),
            Text(" here than its assigned value."),
        );
        go_on(text, &[expected, Rounded(shift.abs(), 3), Text(way), than]);
    }
}

/// Why the spot counts less than another.
fn weaker_evidence(text: &mut String, spot: &Spot, rf: f64, likeliest: Option<&Reference>) {
    if let Some(tail) = reasons::tail_note(spot, likeliest) {
        return say(text, &[Text(&tail)]);
    }
    let faint = Text("is faint");
    let end = Text("lies at an end of the paper, where spots pile up");
    let so = Text(", so it counts less.");
    match (is_faint(spot), is_at_an_end(rf)) {
        (true, true) => say(text, &[Text("The spot "), faint, Text(" and "), end, so]),
        (true, false) => say(text, &[Text("The spot "), faint, so]),
        (false, true) => say(text, &[Text("The spot "), end, so]),
        (false, false) => {}
    }
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

fn colour(spot: &Spot, verdict: ColourVerdict) -> [Part<'_>; 3] {
    let seen = spot
        .colour
        .as_deref()
        .map(str::trim)
        .filter(|word| !word.is_empty());
    let Some(seen) = seen else {
        let none = "colour not judged, none is noted";
        return [Text(none), Text(""), Text("")];
    };
    let said = match verdict {
        ColourVerdict::Agrees => " agrees",
        ColourVerdict::Disagrees => " disagrees",
        ColourVerdict::NotJudged => " not judged",
    };
    [Text("colour "), Text(seen), Text(said)]
}
