//! A reported Rf that is not the quotient of the distances beside it.

use crate::entry_check::{EntryCheck, Finding};
use crate::quotient_error::{QuotientVerdict, judge_quotient};
use crate::sheet_view::{LaneView, SheetView};
use crate::words;
use dyebook_documents::{Severity, Where};

/// The distances are what was measured; a reported Rf that doesn't follow from them was computed
/// wrongly or belongs to another row, and tells of a row that slipped.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "reported-rf",
    why: "A reported Rf that isn't the quotient was miscalculated or belongs to another row.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .lanes()
        .flat_map(|view| of_lane(sheet, view))
        .collect()
}

fn of_lane(sheet: &SheetView<'_>, view: LaneView<'_>) -> Vec<Finding> {
    let units = sheet.context.sheet.units;
    let spots = view.lane.spots.iter();
    spots
        .filter_map(|spot| {
            let row = &view.written.rows[spot.position];
            let reported = row.reported_rf.as_ref()?;
            let rf = spot.rf?;
            let distance = row.distance.as_ref()?;
            let of_lane = || view.written.rows.iter().find_map(|row| row.front.as_ref());
            let front = row.front.as_ref().or_else(of_lane)?;
            let exact = (
                distance.exact() * units.distance.in_cm(),
                front.exact() * units.front.in_cm(),
            );
            let place = Where::spot(&view.lane.paper, view.lane.lane, spot.spot);
            let shown = format!(
                "{} ÷ {} = {rf:.3}",
                words::written(distance, units.distance),
                words::written(front, units.front)
            );
            match judge_quotient(exact.0, exact.1, reported) {
                QuotientVerdict::Rounded => None,
                QuotientVerdict::Cut => {
                    let message = format!("reported Rf {reported} is cut, not rounded ({shown})");
                    Some(Finding::new(Severity::Info, place, message))
                }
                QuotientVerdict::Near => {
                    let message =
                        format!("reported Rf {reported} is within 0.01 of the quotient ({shown})");
                    Some(Finding::new(Severity::Info, place, message))
                }
                QuotientVerdict::Wrong => {
                    let message =
                        format!("reported Rf {reported} is not distance ÷ front ({shown})");
                    let finding = Finding::new(Severity::Warn, place, message);
                    Some(finding.or_all(explanations(view, spot.spot, rf, reported.value())))
                }
            }
        })
        .collect()
}

/// What a wrong value may be instead.
fn explanations(view: LaneView<'_>, spot: u32, rf: f64, reported: f64) -> Vec<String> {
    let is = |value: f64| (reported - value).abs() <= 0.01 * value.abs().max(1.0);
    let mut found = vec![];
    if rf > 0.0 && is(1.0 / rf) {
        found.push("front ÷ distance instead of distance ÷ front".to_owned());
    }
    if rf >= 0.02 && is(100.0 * rf) {
        found.push("given times 100".to_owned());
    }
    if rf >= 0.02 && (is(10.0 * rf) || is(rf / 10.0) && rf > 0.2) {
        found.push("the decimal point slipped".to_owned());
    }
    let others = view.lane.spots.iter().filter(|other| other.spot != spot);
    for other in others.filter(|other| other.rf.is_some_and(is)) {
        found.push(format!(
            "it is the Rf of spot {} of the lane: a row slipped",
            other.spot
        ));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    fn reported(distance: &str, front: &str, rf: &str) -> Example {
        Example::table(&format!("1|1||Red 40|{distance}|{front}|red"))
            .row("1", 1, |row| row.reported_rf = Some(rf.parse().unwrap()))
    }

    #[test]
    fn published_student_values_are_told_apart() {
        // Student set A (antiessays.com, "Chromatography of Food Dyes"): 19 mm of 48 mm reported
        // 0.39. A page of the same kind: 3.4 of 13.1 reported 0.300.
        let (severity, _, check) = reported("1.9", "4.8", "0.39").only(&CHECK);
        assert_eq!(severity, Severity::Info);
        assert!(check.message.contains("cut"), "{check:?}");
        let (severity, place, _) = reported("3.4", "13.1", "0.300").only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Warn, "paper 1, lane 1, spot 1")
        );
    }

    #[test]
    fn a_wrong_value_is_explained_where_it_can_be() {
        let inverse = reported("3.2", "8", "2.50").only(&CHECK).2;
        assert!(inverse.alternatives[0].contains("front ÷ distance"));
        let percent = reported("3.2", "8", "40").only(&CHECK).2;
        assert!(percent.alternatives[0].contains("100"));
    }

    #[test]
    fn both_ways_of_rounding_a_half_are_right() {
        // Student set B: 2.1 of 4.0 reported .53, half up; half to even would give 0.52.
        assert!(reported("2.1", "4.0", ".53").check(&CHECK).is_empty());
        assert!(reported("2.1", "4.0", "0.52").check(&CHECK).is_empty());
        assert!(reported("2.1", "4.0", "0.5250").check(&CHECK).is_empty());
    }
}
