//! A column, a front or a distance that is off by ten or by an inch.

use crate::entry_check::{EntryCheck, Finding};
use crate::scale_slip::{ScaleSlip, SlipPlace};
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{LengthUnit, Severity, Where};

/// One column in mm beside one in cm makes every Rf ten times too large or too small; one value of
/// that kind spoils its lane.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "column-scale",
    why: "Distances and fronts in different units make every Rf wrong by the same factor.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .papers
        .iter()
        .flat_map(|paper| {
            let columns: Vec<&ScaleSlip> =
                paper.slips.iter().filter(|slip| is_column(slip)).collect();
            if columns.is_empty() {
                paper
                    .slips
                    .iter()
                    .map(|slip| single(sheet, paper, slip))
                    .collect()
            } else {
                vec![column(sheet, paper, &columns)]
            }
        })
        .collect()
}

fn is_column(slip: &ScaleSlip) -> bool {
    matches!(
        slip.place,
        SlipPlace::DistanceColumn | SlipPlace::FrontColumn
    )
}

fn column(sheet: &SheetView<'_>, paper: &PaperView<'_>, slips: &[&ScaleSlip]) -> Finding {
    let units = sheet.context.sheet.units;
    let readings: Vec<String> = slips
        .iter()
        .map(|slip| {
            let (name, labelled) = match slip.place {
                SlipPlace::DistanceColumn => ("distance", units.distance),
                _ => ("front", units.front),
            };
            let unit = slip.unit.unwrap_or(labelled);
            let (unit, labelled) = (words::unit(unit), words::unit(labelled));
            format!("the {name} column looks written in {unit}, it is headed {labelled}")
        })
        .collect();
    let known = &paper.known;
    let evidence = if known.len() >= 2 {
        let shown: Vec<String> = known
            .iter()
            .take(2)
            .map(|k| {
                let expected = words::range(k.reference.expected_rf);
                format!(
                    "{} {} (expected {expected})",
                    k.lane.label,
                    words::rf(Some(k.rf))
                )
            })
            .collect();
        format!("as they stand, Rf are {}", words::list(&shown))
    } else {
        "as they stand, no Rf is possible".to_owned()
    };
    let message = format!("{}; {evidence}", readings.join(", or "));
    Finding::new(Severity::Stop, Where::paper(paper.name), message).or_all(readings)
}

fn single(sheet: &SheetView<'_>, paper: &PaperView<'_>, slip: &ScaleSlip) -> Finding {
    let units = sheet.context.sheet.units;
    let lane_of = |number: u32| paper.lanes.iter().find(|view| view.lane.lane == number);
    match slip.place {
        SlipPlace::Front { lane } => {
            let front = lane_of(lane)
                .and_then(|view| view.lane.front_cm)
                .unwrap_or_default();
            let message = format!(
                "the front of lane {lane} is {}, {}; the other lanes' fronts are near {}",
                words::cm(front),
                off(slip.factor),
                words::cm(front * slip.factor)
            );
            Finding::new(Severity::Stop, Where::lane(paper.name, lane), message).or(meant(
                slip,
                front,
                units.front,
            ))
        }
        SlipPlace::Distance { lane, spot } => {
            let found =
                lane_of(lane).and_then(|view| view.lane.spots.iter().find(|s| s.spot == spot));
            let distance = found.and_then(|spot| spot.distance_cm).unwrap_or_default();
            let rf = found.and_then(|spot| spot.rf);
            let message = format!(
                "the distance {} gives Rf {}; {} it gives {}",
                words::cm(distance),
                words::rf(rf),
                if slip.factor < 1.0 {
                    "a tenth of"
                } else {
                    "ten times"
                },
                words::rf(rf.map(|rf| rf * slip.factor))
            );
            Finding::new(Severity::Stop, Where::spot(paper.name, lane, spot), message).or(meant(
                slip,
                distance,
                units.distance,
            ))
        }
        SlipPlace::DistanceColumn | SlipPlace::FrontColumn => column(sheet, paper, &[slip]),
    }
}

fn off(factor: f64) -> String {
    if factor < 1.0 {
        format!("{} times too long", trimmed(1.0 / factor))
    } else {
        format!("{} times too short", trimmed(factor))
    }
}

fn trimmed(factor: f64) -> String {
    format!("{factor:.2}")
        .trim_end_matches('0')
        .trim_end_matches('.')
        .to_owned()
}

fn meant(slip: &ScaleSlip, value_cm: f64, labelled: LengthUnit) -> String {
    let meant = words::cm(value_cm * slip.factor);
    match slip.unit {
        Some(unit) => format!(
            "{meant}, if it was written in {} instead of {}",
            words::unit(unit),
            words::unit(labelled)
        ),
        None => format!("{meant}, if the decimal point slipped"),
    }
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    const MM_BESIDE_CM: &str = "
        1|1||Blue 1|76.4|8.04|blue
        1|2||Red 40|32.4|7.98|red
        1|3||Yellow 5|45.1|8.02|yellow";

    #[test]
    fn distances_in_mm_beside_fronts_in_cm_name_the_column() {
        let (severity, place, check) = Example::table(MM_BESIDE_CM).only(&CHECK);
        assert_eq!((severity, place.as_str()), (Severity::Stop, "paper 1"));
        assert!(
            check
                .message
                .contains("the distance column looks written in mm"),
            "{check:?}"
        );
        assert_eq!(check.alternatives.len(), 1);
    }

    #[test]
    fn fronts_in_inches_beside_distances_in_cm_name_the_column() {
        let lines = "
            1|1||Blue 1|7.64|3.17|blue
            1|2||Red 40|3.24|3.14|red
            1|3||Yellow 5|4.51|3.16|yellow";
        let (_, _, check) = Example::table(lines).only(&CHECK);
        assert!(
            check
                .message
                .contains("the front column looks written in inches"),
            "{check:?}"
        );
    }

    #[test]
    fn samples_alone_are_judged_by_lengths_that_can_not_be() {
        let lines = "2|1|sample|Q1|45.1|8.02|yellow\n2|2|sample|Q2|32.4|8.0|red";
        let (_, place, _) = Example::table(lines).only(&CHECK);
        assert_eq!(place, "paper 2");
    }

    #[test]
    fn a_single_front_or_distance_is_named() {
        let front = Example::clean().row("1", 4, |row| row.front = Some("79.8".parse().unwrap()));
        assert_eq!(front.only(&CHECK).1, "paper 1, lane 4");
        let point =
            Example::clean().row("1", 4, |row| row.distance = Some("32.4".parse().unwrap()));
        let (_, place, check) = point.only(&CHECK);
        assert_eq!(place, "paper 1, lane 4, spot 1");
        assert!(check.alternatives[0].starts_with("3.24 cm"), "{check:?}");
    }

    #[test]
    fn a_clean_sheet_and_a_dye_that_hardly_moved_do_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
        let stuck =
            Example::clean().row("1", 3, |row| row.distance = Some("0.05".parse().unwrap()));
        assert!(stuck.check(&CHECK).is_empty());
    }
}
