//! A lane in which the spot that ran less far has the larger Rf.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::{LaneView, SheetView};
use crate::words;
use dyebook_documents::{Row, Severity, Where, WrittenDecimal};
use rust_decimal::Decimal;

/// All spots of a lane share one front, so the one that ran further has the larger Rf. Where a
/// sheet says otherwise, a row slipped or a front belongs to another lane.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "distance-order",
    why: "Within a lane the spot that ran further has the larger Rf; else a row slipped.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .lanes()
        .filter_map(|view| of_lane(sheet, view))
        .collect()
}

fn of_lane(sheet: &SheetView<'_>, view: LaneView<'_>) -> Option<Finding> {
    let lane = view.lane;
    if lane.spots.len() < 2 {
        return None;
    }
    let units = sheet.context.sheet.units;
    let mut spots: Vec<(u32, Decimal, Option<f64>, Option<Decimal>)> = lane
        .spots
        .iter()
        .filter_map(|spot| {
            let row: &Row = &view.written.rows[spot.position];
            let reported = row.reported_rf.as_ref().map(WrittenDecimal::exact);
            Some((spot.spot, row.distance_cm(units)?, spot.rf, reported))
        })
        .collect();
    spots.sort_unstable_by_key(|spot| spot.1);
    spots.windows(2).find_map(|pair| {
        let [(near, nearer, near_rf, near_own), (far, farther, far_rf, far_own)] = pair else {
            return None;
        };
        if nearer == farther {
            return None;
        }
        let by_front = near_rf.zip(*far_rf).filter(|(near, far)| near > far);
        let by_report = near_own.zip(*far_own).filter(|(near, far)| near > far);
        let larger = match (by_front, by_report) {
            (Some((near, far)), _) => {
                format!("{} against {}", words::rf(Some(near)), words::rf(Some(far)))
            }
            (None, Some((near, far))) => format!("{near} against {far} as the group reports"),
            (None, None) => return None,
        };
        let message = format!(
            "spot {near} ran less far than spot {far} ({} against {} cm), yet its Rf is larger ({larger})",
            nearer.normalize(),
            farther.normalize(),
        );
        let finding =
            Finding::new(Severity::Warn, Where::spot(&lane.paper, lane.lane, *near), message);
        Some(finding.or("a row slipped: values of two spots are mixed"))
    })
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn reported_rf_against_the_order_of_distances_fire() {
        let example =
            Example::table("2|1|sample|Q1|3.0|8.0|red\n2|1|sample|Q1|4.0|8.0|blue").with(|e| {
                let rows = &mut e.sheet.lanes[0].rows;
                rows[0].reported_rf = Some("0.50".parse().unwrap());
                rows[1].reported_rf = Some("0.38".parse().unwrap());
            });
        let (severity, place, _) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Warn, "paper 2, lane 1, spot 1")
        );
    }

    #[test]
    fn different_fronts_that_turn_the_order_fire() {
        let example = Example::table("2|1|sample|Q1|3.0|5.0|red\n2|1|sample|Q1|4.0|8.0|blue");
        assert!(example.only(&CHECK).2.message.contains("0.60 against 0.50"));
    }

    #[test]
    fn spots_written_from_the_front_downwards_do_not_fire() {
        let example = Example::table("2|1|sample|Q1|4.0|8.0|red\n2|1|sample|Q1|3.0|8.0|blue");
        assert!(example.check(&CHECK).is_empty());
    }
}
