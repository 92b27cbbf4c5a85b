//! A standard outside the range that the method expects.

use crate::entry_check::{EntryCheck, Finding};
use crate::fitting_dyes::fitting_dyes;
use crate::known_spots::KnownSpot;
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{Severity, Where};
use dyebook_statistics::distribution::normal_cdf;

/// A standard far from where it belongs means a wrong label, a wrong distance or another solvent.
/// One just outside a 95 % range is to be expected in one of twenty, so on most sheets.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "standard-outside-range",
    why: "A standard far from where it belongs: a wrong label, distance or developing solvent.",
    find,
};

/// Share of clean sheets in which this check may warn.
const FALSE_ALARMS: f64 = 0.002;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let count = sheet.sound_known().count();
    sheet
        .sound_known()
        .filter_map(|spot| outside(sheet, spot, count))
        .collect()
}

fn outside(sheet: &SheetView<'_>, known: &KnownSpot<'_>, count: usize) -> Option<Finding> {
    let range = known.reference.expected_rf;
    if range.contains(known.rf) {
        return None;
    }
    let difference = known.rf - known.reference.centre();
    // Both tails, times the number of standards on the sheet (Bonferroni).
    #[expect(clippy::cast_precision_loss, reason = "a sheet has few lanes")]
    let chance = 2.0 * normal_cdf(-(difference / known.sd).abs()) * count as f64;
    let measured = format!(
        "{} ran to Rf {}, expected is {}",
        known.lane.label,
        words::rf(Some(known.rf)),
        words::range(range)
    );
    let place = Where::spot(&known.lane.paper, known.lane.lane, known.spot.spot);
    if chance > FALSE_ALARMS {
        let message = format!(
            "{measured}; among {count} standards the method's spread explains a difference of {difference:+.3}"
        );
        return Some(Finding::new(Severity::Info, place, message));
    }
    // One cause deserves one warning, and the signature's is the one.
    if let Some(signature) = sheet.signature_of(known) {
        let message = format!(
            "{measured}; see {}, which would explain it",
            signature.model
        );
        return Some(Finding::new(Severity::Info, place, message));
    }
    let message = format!(
        "{measured}; {difference:+.3} is {:.1} times its spread",
        (difference / known.sd).abs()
    );
    let finding = Finding::new(Severity::Warn, place, message);
    let colour = known.spot.colour.as_deref();
    let fitting = fitting_dyes(sheet.context, known.rf, colour, &known.reference.dye);
    Some(if fitting.is_empty() {
        finding
            .or("a mistyped distance or front")
            .or("another developing solvent than the method's")
    } else {
        finding.or(format!(
            "Rf and colour fit {}: the label may be wrong",
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
    fn a_standard_far_off_warns_and_names_what_it_fits() {
        let example = Example::table("1|1||Red 40|4.06|8.0|orange\n1|2||Blue 1|7.6|8.0|blue");
        let (severity, place, check) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Warn, "paper 1, lane 1, spot 1")
        );
        assert!(check.alternatives[0].contains("Sunset Yellow"), "{check:?}");
    }

    #[test]
    fn just_outside_is_what_the_spread_explains() {
        let (severity, _, check) = Example::table("1|1||Red 40|3.65|8.0|red").only(&CHECK);
        assert_eq!(severity, Severity::Info);
        assert!(check.message.contains("0.46") && check.message.contains("0.36 to 0.45"));
    }

    #[test]
    fn inside_the_range_does_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
