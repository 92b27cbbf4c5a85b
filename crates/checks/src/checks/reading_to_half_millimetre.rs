//! Distances that all end in 0 or 5.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{LengthUnit, Severity, Where, WrittenDecimal};

/// Readings that all end in 0 or 5 were taken to half a millimetre, whatever the decimals promise.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "reading-to-half-millimetre",
    why: "Readings that all end in 0 or 5 are known to half a millimetre only.",
    find,
};

/// Six last digits of 0 or 5 come by chance once in 5^6 = 15,625 sheets.
const ENOUGH: usize = 6;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    // Decimals that stand for tenths of a mm.
    let tenths = match sheet.context.sheet.units.distance {
        LengthUnit::Centimetre => 2,
        LengthUnit::Millimetre => 1,
        LengthUnit::Inch => return vec![],
    };
    let fine = || {
        let rows = sheet.lanes().flat_map(|view| &view.written.rows);
        let distances = rows.filter_map(|row| row.distance.as_ref());
        distances
            .filter(|distance| distance.decimals() == tenths)
            .map(WrittenDecimal::text)
    };
    let all_round = fine().all(|text| text.ends_with(['0', '5']));
    let some_half = || fine().any(|text| text.ends_with('5'));
    if !all_round || fine().count() < ENOUGH || !some_half() {
        return vec![];
    }
    let message = format!(
        "all {} distances end in 0 or 5: they were read to half a mm (standard uncertainty at least 0.014 cm)",
        fine().count()
    );
    vec![Finding::new(Severity::Info, Where::sheet(), message)]
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    fn distances(distances: &[&str]) -> Example {
        let lines: Vec<String> = distances
            .iter()
            .enumerate()
            .map(|(i, distance)| format!("1|{}||Red 40|{distance}|8.00|red", i + 1))
            .collect();
        Example::table(&lines.join("\n"))
    }

    #[test]
    fn six_round_readings_are_said() {
        let example = distances(&["3.20", "3.25", "3.15", "3.30", "3.20", "3.25"]);
        assert_eq!(example.only(&CHECK).0, Severity::Info);
    }

    #[test]
    fn other_last_digits_and_few_readings_do_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
        assert!(
            distances(&["3.20", "3.25", "3.15", "3.30", "3.20"])
                .check(&CHECK)
                .is_empty()
        );
    }
}
