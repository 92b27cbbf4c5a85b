//! A spot that was noted but not measured.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{Severity, Where};

/// A colour or a reported Rf without a distance: the group saw a spot, and its Rf can't be
/// recomputed. (A row with neither is a lane without a visible spot, and that is fine.)
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "missing-distance",
    why: "A spot that was seen but not measured can't be identified.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .lanes()
        .flat_map(|view| view.lane.spots.iter().map(move |spot| (view, spot)))
        .filter(|(_, spot)| spot.distance_cm.is_none())
        .map(|(view, spot)| {
            let row = &view.written.rows[spot.position];
            let noted = [
                spot.colour
                    .as_ref()
                    .map(|colour| format!("colour {colour}")),
                spot.shape.as_ref().map(|shape| format!("shape {shape}")),
                spot.depth.as_ref().map(|depth| format!("depth {depth}")),
                row.width.as_ref().map(|width| format!("width {width}")),
                row.reported_rf
                    .as_ref()
                    .map(|rf| format!("reported Rf {rf}")),
            ];
            let noted: Vec<String> = noted.into_iter().flatten().collect();
            let message = format!(
                "a spot was noted ({}) but its distance is missing",
                noted.join(", ")
            );
            let place = Where::spot(&view.lane.paper, view.lane.lane, spot.spot);
            Finding::new(Severity::Ask, place, message)
                .or("a streak: present, not measurable")
                .or("there was no spot")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_colour_without_a_distance_asks() {
        let (severity, place, check) = Example::table("2|1|sample|Q1||8|green").only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Ask, "paper 2, lane 1, spot 1")
        );
        assert!(check.message.contains("colour green"), "{check:?}");
    }

    #[test]
    fn a_lane_without_a_visible_spot_does_not_fire() {
        assert!(Example::table("2|1|sample|Q1||8|").check(&CHECK).is_empty());
    }
}
