//! Spot numbers of a lane that repeat or leave one out.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{Severity, Where};
use std::collections::BTreeSet;

/// A number twice means a row entered twice or of another lane; a number left out, a spot that
/// was forgotten.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "spot-numbering",
    why: "A spot number twice is a row of another lane; one left out is a spot forgotten.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .lanes()
        .filter_map(|view| {
            let rows = view.written.rows.iter();
            if rows.zip(1..).all(|(row, number)| row.spot == Some(number)) {
                return None;
            }
            let numbers: Vec<u32> = view.written.rows.iter().filter_map(|row| row.spot).collect();
            let distinct: BTreeSet<u32> = numbers.iter().copied().collect();
            let place = || Where::lane(&view.lane.paper, view.lane.lane);
            if distinct.len() < numbers.len() {
                let message = format!(
                    "spots are numbered {}; they are counted 1 to {} here, in the order of the rows",
                    words::list(&numbers),
                    view.lane.spots.len()
                );
                let finding = Finding::new(Severity::Ask, place(), message);
                return Some(finding.or("a row of another lane").or("a row entered twice"));
            }
            let highest = *distinct.last()?;
            let gap: Vec<u32> = (1..highest.min(1000)).filter(|n| !distinct.contains(n)).collect();
            (numbers.len() == view.written.rows.len() && !gap.is_empty()).then(|| {
                let message = format!(
                    "spots are numbered {}: is one missing?",
                    words::list(&numbers)
                );
                Finding::new(Severity::Info, place(), message)
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    fn numbered(numbers: [u32; 2]) -> Example {
        Example::table("2|1|sample|Q1|3.2|8|red\n2|1|sample|Q1|7.6|8|blue").with(|e| {
            for (row, number) in e.sheet.lanes[0].rows.iter_mut().zip(numbers) {
                row.spot = Some(number);
            }
        })
    }

    #[test]
    fn a_number_twice_asks_and_a_gap_is_said() {
        assert_eq!(numbered([1, 1]).only(&CHECK).0, Severity::Ask);
        assert_eq!(numbered([1, 3]).only(&CHECK).0, Severity::Info);
    }

    #[test]
    fn numbers_in_any_order_and_no_numbers_do_not_fire() {
        assert!(numbered([2, 1]).check(&CHECK).is_empty());
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
