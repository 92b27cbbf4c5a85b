//! Two standards that ran in the other order than expected.

use crate::entry_check::{EntryCheck, Finding};
use crate::known_spots::{KnownSpot, expected_colours};
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{ColourVerdict, Severity, Where, judge_colour};
use dyebook_statistics::distribution::normal_cdf;

/// The order of the dyes is what a paper keeps best. Two standards in the other order point to
/// exchanged labels, or to another developing solvent.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "rank-order-inverted",
    why: "The order of the dyes is what a paper keeps best; inverted, labels may be exchanged.",
    find,
};

/// Share of clean sheets in which this check may warn.
const FALSE_ALARMS: f64 = 0.002;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let papers: Vec<Vec<KnownSpot<'_>>> = sheet.papers.iter().map(PaperView::sound_known).collect();
    let pairs: usize = papers
        .iter()
        .map(|known| known.len() * known.len().saturating_sub(1) / 2)
        .sum();
    let mut found = vec![];
    for known in &papers {
        for (i, one) in known.iter().enumerate() {
            for other in &known[i + 1..] {
                found.extend(inverted(sheet, one, other, pairs));
            }
        }
    }
    found
}

fn inverted(
    sheet: &SheetView<'_>,
    one: &KnownSpot<'_>,
    other: &KnownSpot<'_>,
    pairs: usize,
) -> Option<Finding> {
    let (low, high) = if one.reference.centre() < other.reference.centre() {
        (one, other)
    } else {
        (other, one)
    };
    let expected = high.reference.centre() - low.reference.centre();
    let observed = high.rf - low.rf;
    if expected <= 0.0 || observed >= 0.0 {
        return None;
    }
    // As if the two dyes varied independently: on one paper they vary less, so this is careful.
    let chance = normal_cdf((observed - expected) / low.sd.hypot(high.sd));
    #[expect(clippy::cast_precision_loss, reason = "a sheet has few pairs")]
    let by_chance = chance * pairs as f64 > FALSE_ALARMS;
    let severity = if by_chance {
        Severity::Info
    } else {
        Severity::Warn
    };
    let name = |known: &KnownSpot<'_>| {
        let range = words::range(known.reference.expected_rf);
        format!(
            "{} {} (expected {range})",
            known.lane.label,
            words::rf(Some(known.rf))
        )
    };
    let message = format!(
        "{} ran above {}, expected is the other order{}",
        name(low),
        name(high),
        if by_chance {
            "; their spread explains it"
        } else {
            ""
        }
    );
    let place = Where::paper(&one.lane.paper);
    let finding = Finding::new(severity, place, message);
    Some(if by_chance {
        finding
    } else if fit_exchanged(sheet, low, high) {
        let (first, second) = (one.lane.lane, other.lane.lane);
        finding
            .or(format!(
                "lanes {first} and {second} are exchanged: each fits the other's range and colour"
            ))
            .or("the labels are right, and the developing solvent was another one")
    } else {
        finding.or("another developing solvent, or a mistyped distance")
    })
}

/// Whether each of the two lies where the other is expected and has a colour that agrees.
fn fit_exchanged(sheet: &SheetView<'_>, one: &KnownSpot<'_>, other: &KnownSpot<'_>) -> bool {
    let takes = |spot: &KnownSpot<'_>, place: &KnownSpot<'_>| {
        let colours = expected_colours(sheet.context, &place.reference.dye);
        let colour = judge_colour(spot.spot.colour.as_deref(), colours);
        place.fits(spot.rf) && colour != ColourVerdict::Disagrees
    };
    takes(one, other) && takes(other, one)
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn exchanged_lanes_warn_with_both_readings() {
        let lines = "1|1||Red 40|4.48|8|yellow\n1|2||Yellow 5|3.24|8|orange";
        let (severity, place, check) = Example::table(lines).only(&CHECK);
        assert_eq!((severity, place.as_str()), (Severity::Warn, "paper 1"));
        assert!(
            check.alternatives[0].contains("lanes 1 and 2 are exchanged"),
            "{check:?}"
        );
    }

    #[test]
    fn colours_that_stayed_with_their_labels_speak_against_an_exchange() {
        let lines = "1|1||Red 40|4.48|8|red\n1|2||Yellow 5|3.24|8|yellow";
        let check = Example::table(lines).only(&CHECK).2;
        assert!(!check.alternatives[0].contains("exchanged"), "{check:?}");
    }

    #[test]
    fn near_neighbours_that_their_spread_turned_round_are_info() {
        let lines = "1|1||Red 3|1.05|8|pink\n1|2||Blue 2|1.03|8|blue";
        assert_eq!(Example::table(lines).only(&CHECK).0, Severity::Info);
    }

    #[test]
    fn the_expected_order_does_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
