//! Two standards that ran in the other order than expected.

use crate::entry_check::{EntryCheck, Finding};
use crate::known_spots::{KnownSpot, MOST_STANDARDS};
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{ColourVerdict, Severity, Where, counted};
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
    inversions(sheet)
        .into_iter()
        .flat_map(|(paper, all)| of_paper(sheet, paper, &all))
        .collect()
}

/// Pairs of lanes that fit each other's label and are reported so.
pub(crate) fn exchanged_lanes<'a>(sheet: &SheetView<'a>) -> Vec<(&'a str, [u32; 2])> {
    let pairs = inversions(sheet).into_iter().flat_map(|(paper, all)| {
        let exchanged = all
            .into_iter()
            .filter(|pair| pair.exchanged && !pair.by_chance);
        exchanged.map(move |pair| (paper, pair.lanes()))
    });
    pairs.collect()
}

/// Two standards of one paper in the other order than expected.
struct Inversion<'a> {
    low: KnownSpot<'a>,
    high: KnownSpot<'a>,
    by_chance: bool,
    exchanged: bool,
}

impl Inversion<'_> {
    fn lanes(&self) -> [u32; 2] {
        let mut lanes = [self.low.lane.lane, self.high.lane.lane];
        lanes.sort_unstable();
        lanes
    }

    fn touches(&self, other: &Self) -> bool {
        self.lanes().iter().any(|lane| other.lanes().contains(lane))
    }
}

fn inversions<'a>(sheet: &SheetView<'a>) -> Vec<(&'a str, Vec<Inversion<'a>>)> {
    let papers: Vec<(&str, Vec<KnownSpot<'a>>)> = sheet
        .papers
        .iter()
        .map(|paper| (paper.name, paper.sound_known().copied().collect()))
        .filter(|(_, known): &(_, Vec<_>)| known.len() <= MOST_STANDARDS)
        .collect();
    let count = |known: &Vec<KnownSpot<'a>>| known.len() * known.len().saturating_sub(1) / 2;
    let pairs: usize = papers.iter().map(|(_, known)| count(known)).sum();
    papers
        .into_iter()
        .map(|(paper, known)| {
            let each = known.iter().enumerate();
            let all = each.flat_map(|(i, one)| {
                known[i + 1..]
                    .iter()
                    .filter_map(move |other| inversion(one, other, pairs))
            });
            (paper, all.collect())
        })
        .collect()
}

fn inversion<'a>(
    one: &KnownSpot<'a>,
    other: &KnownSpot<'a>,
    pairs: usize,
) -> Option<Inversion<'a>> {
    let (low, high) = if one.reference.centre() < other.reference.centre() {
        (*one, *other)
    } else {
        (*other, *one)
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
    let exchanged = fit_exchanged(&low, &high);
    Some(Inversion {
        low,
        high,
        by_chance,
        exchanged,
    })
}

/// One finding a cause: two exchanged lanes turn the order against every lane between them, and
/// slipped rows that of all neighbours.
fn of_paper(sheet: &SheetView<'_>, paper: &str, all: &[Inversion<'_>]) -> Vec<Finding> {
    let beyond_chance = || all.iter().filter(|pair| !pair.by_chance);
    let count = beyond_chance().count();
    if let Some(signature) = sheet
        .signatures
        .iter()
        .find(|one| one.moves_lanes_of(paper))
    {
        let message = format!(
            "{} of standards ran in the other order than expected; see {}, which would explain it",
            counted(count, "pair"),
            signature.model
        );
        let finding = Finding::new(Severity::Info, Where::paper(paper), message);
        return if count > 0 { vec![finding] } else { vec![] };
    }
    let exchanged: Vec<&Inversion<'_>> = beyond_chance().filter(|pair| pair.exchanged).collect();
    let explained = |pair: &Inversion<'_>| {
        !pair.exchanged && exchanged.iter().any(|exchange| pair.touches(exchange))
    };
    all.iter()
        .filter(|pair| !explained(pair))
        .map(|pair| finding(paper, pair))
        .collect()
}

fn finding(paper: &str, pair: &Inversion<'_>) -> Finding {
    let name = |known: &KnownSpot<'_>| {
        let range = words::range(known.reference.expected_rf);
        format!(
            "{} {} (expected {range})",
            known.lane.label,
            words::rf(Some(known.rf))
        )
    };
    let message = format!(
        "{} ran above {}, expected is the other order",
        name(&pair.low),
        name(&pair.high)
    );
    let place = Where::paper(paper);
    if pair.by_chance {
        let message = format!("{message}; their spread explains it");
        return Finding::new(Severity::Info, place, message);
    }
    let finding = Finding::new(Severity::Warn, place, message);
    if !pair.exchanged {
        return finding.or("another developing solvent, or a mistyped distance");
    }
    let [first, second] = pair.lanes();
    finding
        .or(format!(
            "lanes {first} and {second} are exchanged: each fits the other's range and colour"
        ))
        .or("the labels are right, and the developing solvent was another one")
}

/// Whether each of the two lies where the other is expected and has a colour that agrees.
fn fit_exchanged(one: &KnownSpot<'_>, other: &KnownSpot<'_>) -> bool {
    let takes = |spot: &KnownSpot<'_>, place: &KnownSpot<'_>| {
        let colour = place.colours.judge(spot.spot.colour.as_deref());
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
    fn lanes_between_two_exchanged_ones_are_not_reported_again() {
        let example = Example::clean().with(|e| {
            let (one, other) = (
                e.sheet.lanes[0].label.clone(),
                e.sheet.lanes[2].label.clone(),
            );
            e.sheet.lanes[0].label = other;
            e.sheet.lanes[2].label = one;
            for lane in &mut e.sheet.lanes {
                lane.rows[0].colour = None;
            }
        });
        assert!(example.only(&CHECK).2.alternatives[0].contains("lanes 1 and 3"));
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
