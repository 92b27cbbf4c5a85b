//! A spot below the start line.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{Severity, Where};

/// Nothing runs backwards. A spot that stayed at the start line has distance 0.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "negative-distance",
    why: "Nothing runs backwards; a spot that stayed at the start has distance 0.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let unit = sheet.context.sheet.units.distance;
    sheet
        .lanes()
        .flat_map(|view| view.lane.spots.iter().map(move |spot| (view, spot)))
        .filter_map(|(view, spot)| {
            spot.distance_cm.filter(|distance| *distance < 0.0)?;
            let distance = view.written.rows[spot.position].distance.as_ref()?;
            let shown = words::written(distance, unit);
            let place = Where::spot(&view.lane.paper, view.lane.lane, spot.spot);
            let message = format!("the distance is {shown}, below the start line");
            Some(Finding::new(Severity::Stop, place, message).or("the minus sign is a dash"))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_distance_below_zero_stops() {
        let (severity, place, _) = Example::table("1|1||Red 40|-3.2|8|red").only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Stop, "paper 1, lane 1, spot 1")
        );
    }

    #[test]
    fn a_spot_that_did_not_move_does_not_fire() {
        assert!(
            Example::table("1|1||Blue 2|0|8|blue")
                .check(&CHECK)
                .is_empty()
        );
    }
}
