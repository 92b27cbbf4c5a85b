//! A lane whose spot has not the colour of the dye on its label.

use crate::entry_check::{EntryCheck, Finding};
use crate::evaluated_sheet::EvaluatedSpot;
use crate::fitting_dyes::fitting_dyes;
use crate::known_spots::expected_colours;
use crate::sheet_view::{LaneView, SheetView};
use crate::words;
use dyebook_documents::{ColourVerdict, Severity, Where};

/// A yellow spot in the lane of a blue dye means exchanged labels or the wrong bottle: every value
/// of that lane then speaks for another dye.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "colour-contradicts-label",
    why: "A spot of the wrong colour means an exchanged label or the wrong bottle.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .lanes()
        .filter_map(|view| contradiction(sheet, view))
        .collect()
}

fn contradiction(sheet: &SheetView<'_>, view: LaneView<'_>) -> Option<Finding> {
    let context = sheet.context;
    let lane = view.lane;
    let dye = lane.dye.as_deref()?;
    let spot = lane.spots.first()?;
    // A second spot of another colour is the business of `standard-extra-spots`.
    let disagrees = |spot: &EvaluatedSpot| {
        view.dye.colours.judge(spot.colour.as_deref()) == ColourVerdict::Disagrees
    };
    if !lane.spots.iter().all(disagrees) {
        return None;
    }
    let seen = spot.colour.as_deref().unwrap_or_default();
    let fitting = spot
        .rf
        .map_or_else(Vec::new, |rf| fitting_dyes(context, rf, Some(seen), dye));
    let message = format!(
        "the spot in the lane labelled {} is {seen}, expected is {}",
        lane.label,
        words::choice(expected_colours(context, dye))
    );
    let finding = Finding::new(Severity::Warn, Where::lane(&lane.paper, lane.lane), message);
    Some(if fitting.is_empty() {
        finding.or("the label or the colour word is wrong, or the wrong bottle was spotted")
    } else {
        finding.or(format!(
            "colour and Rf {} fit {}: the labels may be exchanged",
            words::rf(spot.rf),
            words::choice(&fitting)
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_yellow_spot_in_a_blue_lane_fires_and_names_what_it_fits() {
        let example = Example::table("1|1||Blue 1|4.50|8.00|yellow");
        let (severity, place, check) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Warn, "paper 1, lane 1")
        );
        assert!(check.alternatives[0].contains("Tartrazine"), "{check:?}");
    }

    #[test]
    fn a_neighbouring_hue_and_an_unknown_word_do_not_fire() {
        let example = Example::table("1|1||Blue 1|7.6|8.0|green\n1|2||Red 40|3.2|8.0|salmon");
        assert!(example.check(&CHECK).is_empty());
    }
}
