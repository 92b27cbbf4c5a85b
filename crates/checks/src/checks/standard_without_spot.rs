//! A standard lane in which no spot was seen.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{Severity, Where};

/// A standard that doesn't show was not spotted, was too weak, or ran off; a weak yellow that
/// nobody saw here will not be seen in the samples either.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "standard-without-spot",
    why: "A standard that doesn't show will not be seen in the samples either.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .lanes()
        .filter(|view| view.lane.dye.is_some() && view.lane.spots.is_empty())
        .map(|view| {
            let message = format!("no spot is given for the standard {}", view.lane.label);
            Finding::new(
                Severity::Ask,
                Where::lane(&view.lane.paper, view.lane.lane),
                message,
            )
            .or("too weak to see")
            .or("the lane was not spotted, or its row was left out")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn an_empty_standard_lane_asks() {
        let (severity, place, _) = Example::table("1|5||Yellow 5||8.0|").only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Ask, "paper 1, lane 5")
        );
    }

    #[test]
    fn an_empty_sample_lane_does_not_fire() {
        assert!(
            Example::table("2|1|sample|Q1||8.0|")
                .check(&CHECK)
                .is_empty()
        );
    }
}
