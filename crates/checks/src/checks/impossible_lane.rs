//! A lane number that the layout doesn't have.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{Severity, Where};

/// A lane that isn't on the paper is a mistyped number, and its values may overwrite or double
/// those of another lane.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "impossible-lane",
    why: "A lane that isn't on the paper is a mistyped number.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let method = sheet.context.method;
    let lanes = method
        .layout
        .as_ref()
        .and_then(|layout| layout.lanes)
        .unwrap_or(u32::MAX);
    sheet
        .lanes()
        .filter(|view| view.lane.lane == 0 || view.lane.lane > lanes)
        .map(|view| {
            let lane = view.lane;
            let message = if lane.lane == 0 {
                "lane 0: lanes are counted from 1".to_owned()
            } else {
                format!(
                    "lane {}, but a paper of {} has {lanes} lanes",
                    lane.lane,
                    method.name()
                )
            };
            Finding::new(Severity::Stop, Where::lane(&lane.paper, lane.lane), message)
                .or("the lane number was mistyped")
                .or("the sheet names the wrong method version")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_ninth_lane_of_eight_stops() {
        let (severity, place, check) = Example::table("1|9||Red 40|3.2|8|red").only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Stop, "paper 1, lane 9")
        );
        assert!(check.message.contains("8 lanes"), "{check:?}");
        assert_eq!(
            Example::table("1|0||Red 40|3.2|8|red").only(&CHECK).0,
            Severity::Stop
        );
    }

    #[test]
    fn lanes_of_the_layout_and_an_unknown_layout_do_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
        let open = Example::table("1|9||Red 40|3.2|8|red").with(|e| e.method.layout = None);
        assert!(open.check(&CHECK).is_empty());
    }
}
