//! More than one spot in the lane of a dye standard.

use crate::entry_check::{EntryCheck, Finding};
use crate::evaluated_sheet::EvaluatedSpot;
use crate::fitting_dyes::fitting_dyes;
use crate::known_spots::KnownSpot;
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{ColourVerdict, ExpectedColours, MinorSpot, Severity, Where};

/// Food dyes may hold subsidiary colours, which the method can list; any other second spot was
/// carried over from a neighbour or is in the bottle, and would be taken for a dye of the samples.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "standard-extra-spots",
    why: "A second spot in a standard that isn't expected was carried over or is in the bottle.",
    find,
};

/// An expected minor spot lies within so many standard deviations of its place.
const WITHIN_SD: f64 = 3.0;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    extra_spots(sheet)
        .filter_map(|(known, spot)| match expected_as(known, spot) {
            Some(minor) => Some(expected(known, spot, minor)),
            None => unexpected(sheet, known, spot),
        })
        .collect()
}

fn extra_spots<'s, 'a>(
    sheet: &'s SheetView<'a>,
) -> impl Iterator<Item = (&'s KnownSpot<'a>, &'a EvaluatedSpot)> {
    sheet.sound_known().flat_map(|known| {
        let spots = known.lane.spots.iter();
        spots
            .filter(|spot| spot.spot != known.spot.spot)
            .map(move |spot| (known, spot))
    })
}

/// The minor spot of the reference that a spot is.
fn expected_as<'a>(known: &KnownSpot<'a>, spot: &EvaluatedSpot) -> Option<&'a MinorSpot> {
    let rf = spot.rf?;
    let minors = known.reference.minor_spots.as_deref().unwrap_or_default();
    minors.iter().find(|minor| {
        let verdict = ExpectedColours::new(&minor.colour).judge(spot.colour.as_deref());
        (rf - minor.rf).abs() <= WITHIN_SD * known.sd && verdict != ColourVerdict::Disagrees
    })
}

fn colour(spot: &EvaluatedSpot) -> &str {
    spot.colour.as_deref().unwrap_or("no colour noted")
}

fn expected(known: &KnownSpot<'_>, spot: &EvaluatedSpot, minor: &MinorSpot) -> Finding {
    let message = format!(
        "a second spot of {} at Rf {} ({}) is the minor spot expected at {}",
        known.lane.label,
        words::rf(spot.rf),
        colour(spot),
        words::rf(Some(minor.rf))
    );
    let place = Where::spot(&known.lane.paper, known.lane.lane, spot.spot);
    Finding::new(Severity::Info, place, message)
}

fn unexpected(
    sheet: &SheetView<'_>,
    known: &KnownSpot<'_>,
    spot: &EvaluatedSpot,
) -> Option<Finding> {
    let rf = spot.rf?;
    let place = Where::spot(&known.lane.paper, known.lane.lane, spot.spot);
    let message = format!(
        "the lane of {} has another spot at Rf {} ({}), which is not expected of it",
        known.lane.label,
        words::rf(Some(rf)),
        colour(spot)
    );
    let colour = spot.colour.as_deref();
    let fitting = fitting_dyes(sheet.context, rf, colour, &known.reference.dye);
    let finding = Finding::new(Severity::Warn, place, message);
    Some(if fitting.is_empty() {
        finding
            .or("something else in the bottle")
            .or("a spot of another lane")
    } else {
        let names = words::choice(&fitting);
        finding.or(format!(
            "{names} was carried over, or the bottle holds a mixture"
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::{MinorSpot, Severity};

    const TWO_SPOTS: &str = "1|1||Blue 1|7.6|8.0|blue\n1|1||Blue 1|4.5|8.0|yellow";

    #[test]
    fn a_second_spot_warns_and_names_what_it_fits() {
        let (severity, place, check) = Example::table(TWO_SPOTS).only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Warn, "paper 1, lane 1, spot 2")
        );
        assert!(check.alternatives[0].contains("Tartrazine"), "{check:?}");
    }

    #[test]
    fn an_expected_minor_spot_is_info() {
        let example = Example::table(TWO_SPOTS).with(|e| {
            let minor = MinorSpot {
                rf: 0.57,
                colour: Some("yellow".into()),
            };
            e.method.references[0].minor_spots = Some(vec![minor]);
        });
        assert_eq!(example.only(&CHECK).0, Severity::Info);
    }

    #[test]
    fn one_spot_and_a_sample_with_two_do_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
        let sample = "2|1|sample|Q1|7.6|8.0|blue\n2|1|sample|Q1|4.5|8.0|yellow";
        assert!(Example::table(sample).check(&CHECK).is_empty());
    }
}
