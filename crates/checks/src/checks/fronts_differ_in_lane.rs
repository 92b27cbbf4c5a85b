//! Rows of one lane with different fronts.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::{LaneView, SheetView};
use crate::words;
use dyebook_documents::{Severity, Where};
use std::collections::BTreeMap;

/// A lane has one front. Where its rows say two, a row slipped or a lane number is wrong, and one
/// of the Rf is wrong with it.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "fronts-differ-in-lane",
    why: "A lane has one front; two mean that a row slipped or a lane number is wrong.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .lanes()
        .filter_map(|view| of_lane(sheet, view))
        .collect()
}

fn of_lane(sheet: &SheetView<'_>, view: LaneView<'_>) -> Option<Finding> {
    let unit = sheet.context.sheet.units.front;
    let rows = view.written.rows.iter();
    let written = rows.filter_map(|row| row.front.as_ref());
    let mut others = written.clone();
    let first = others.next()?;
    if others.all(|other| other.text() == first.text() || other.exact() == first.exact()) {
        return None;
    }
    let fronts: BTreeMap<_, _> = written
        .map(|front| (front.exact(), words::written(front, unit)))
        .collect();
    let shown: Vec<&String> = fronts.values().collect();
    let message = format!(
        "the rows of this lane give {} fronts: {}; each row's Rf uses its own",
        fronts.len(),
        words::list(&shown)
    );
    let place = Where::lane(&view.lane.paper, view.lane.lane);
    Some(
        Finding::new(Severity::Warn, place, message)
            .or("a row belongs to another lane")
            .or("one of the fronts was mistyped"),
    )
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn two_fronts_in_one_lane_warn() {
        let lines = "2|1|sample|Q1|3.2|8.0|red\n2|1|sample|Q1|7.6|8.4|blue";
        let (severity, place, check) = Example::table(lines).only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Warn, "paper 2, lane 1")
        );
        assert!(check.message.contains("8.0 cm and 8.4 cm"), "{check:?}");
    }

    #[test]
    fn a_blank_front_in_a_later_row_and_other_digits_do_not_fire() {
        let lines = "2|1|sample|Q1|3.2|8.0|red\n2|1|sample|Q1|7.6||blue\n2|1|sample|Q1|7|8.00|blue";
        assert!(Example::table(lines).check(&CHECK).is_empty());
    }
}
