//! A front at or below the start line.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{Severity, Where};
use rust_decimal::Decimal;

/// Nothing can be divided by a front of 0, and a front below the start line is none.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "front-not-positive",
    why: "Nothing can be divided by a front of 0, and below the start line there is none.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let unit = sheet.context.sheet.units.front;
    sheet
        .lanes()
        .filter_map(|view| {
            let mut fronts = view
                .written
                .rows
                .iter()
                .filter_map(|row| row.front.as_ref());
            let front = fronts.find(|front| front.exact() <= Decimal::ZERO)?;
            let message = format!(
                "the front is {}, it must be above 0",
                words::written(front, unit)
            );
            let place = Where::lane(&view.lane.paper, view.lane.lane);
            Some(Finding::new(Severity::Stop, place, message))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_front_of_zero_stops() {
        let example = Example::clean().row("1", 2, |row| row.front = Some("0".parse().unwrap()));
        let (severity, place, _) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Stop, "paper 1, lane 2")
        );
    }

    #[test]
    fn fronts_above_zero_do_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
