//! The same front in every lane of a paper.

use crate::context::Context;
use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{Severity, Where};
use std::collections::BTreeSet;

/// A front is hardly ever level to a tenth of a millimetre. The same value in all lanes was
/// measured once, and where the front tilts the outer lanes' Rf are off.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "front-same-in-all-lanes",
    why: "One front for all lanes hides a tilt, and the outer lanes' Rf are off by it.",
    find,
};

/// Two lanes agree by chance.
const ENOUGH_LANES: usize = 3;
/// An ordinary tilt from side to side, cm, and an Rf near the front, for the size of the error.
const EXAMPLE_TILT_CM: f64 = 0.4;
const EXAMPLE_RF: f64 = 0.9;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .papers
        .iter()
        .filter_map(|paper| of_paper(sheet.context, paper))
        .collect()
}

fn of_paper(context: &Context<'_>, paper: &PaperView<'_>) -> Option<Finding> {
    let fronts = &paper.fronts;
    let (_, front) = *fronts.first()?;
    // Lengths so far apart are never written alike.
    if front <= 0.0
        || fronts
            .iter()
            .any(|(_, other)| (front - other).abs() > 0.0101)
    {
        return None;
    }
    let shown = |front: f64| format!("{front:.2}");
    let all_same = fronts
        .iter()
        .all(|(_, other)| shown(*other) == shown(front));
    let lanes: BTreeSet<u32> = fronts.iter().map(|(lane, _)| *lane).collect();
    if lanes.len() < ENOUGH_LANES || !all_same {
        return None;
    }
    let message = format!(
        "the front is {} in all {} lanes: was it measured above each lane?",
        words::cm(front),
        lanes.len()
    );
    // Under a wrong heading the size of the error would be wrong too.
    let likely = paper.other_units.first().map_or(front, |unit| {
        front * unit.ratio_to(context.sheet.units.front)
    });
    let consequence = format!(
        "measured once: if the front tilts by {}, an Rf of {EXAMPLE_RF} is off by up to {:.3}",
        words::cm(EXAMPLE_TILT_CM),
        EXAMPLE_RF * EXAMPLE_TILT_CM / likely
    );
    Some(Finding::new(Severity::Ask, Where::paper(paper.name), message).or(consequence))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn one_value_in_all_lanes_asks_and_says_what_it_may_cost() {
        let lines = "1|1||Blue 1|7.6|8.0|\n1|2||Red 40|3.2|8.00|\n1|3||Red 3|0.8|8.0|";
        let (severity, place, check) = Example::table(lines).only(&CHECK);
        assert_eq!((severity, place.as_str()), (Severity::Ask, "paper 1"));
        // 0.4 cm on 8 cm at Rf 0.9: 0.045 (calculated from the definition of Rf).
        assert!(check.alternatives[0].contains("0.045"), "{check:?}");
    }

    #[test]
    fn fronts_that_differ_by_a_millimetre_do_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
