//! Distances written with fewer or more decimals than a ruler gives.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{LengthUnit, Severity, Where, WrittenDecimal};

/// A ruler with mm is read to whole mm, or to tenths of one by eye. The decimals tell which, and so
/// how well the Rf are known; a mixture tells of zeros that a spreadsheet dropped.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "decimals",
    why: "The decimals tell how well the ruler was read, or that a program dropped zeros.",
    find,
};

/// Below this many readings the decimals say little.
const ENOUGH: usize = 4;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let units = sheet.context.sheet.units;
    // Under a wrong heading the decimals say nothing; `unit-label` tells of it.
    if sheet
        .papers
        .iter()
        .any(|paper| !paper.other_units.is_empty())
    {
        return vec![];
    }
    let rows = || sheet.lanes().flat_map(|view| &view.written.rows);
    let distances = || rows().filter_map(|row| row.distance.as_ref());
    let fronts = || rows().filter_map(|row| row.front.as_ref());
    let messages = [
        column("distances", units.distance, distances),
        column("fronts", units.front, fronts),
    ];
    let messages = messages.into_iter().flatten();
    messages
        .map(|message| Finding::new(Severity::Info, Where::sheet(), message))
        .collect()
}

fn column<'a, R: Iterator<Item = &'a WrittenDecimal>>(
    name: &str,
    unit: LengthUnit,
    readings: impl Fn() -> R,
) -> Option<String> {
    let (mut count, mut fewest, mut most) = (0, usize::MAX, 0);
    for decimals in readings().map(WrittenDecimal::decimals) {
        (count, fewest, most) = (count + 1, fewest.min(decimals), most.max(decimals));
    }
    if count < ENOUGH {
        return None;
    }
    // Decimals that stand for whole mm.
    let whole_mm = match unit {
        LengthUnit::Centimetre => 1,
        LengthUnit::Millimetre => 0,
        LengthUnit::Inch => return None,
    };
    if most > whole_mm + 1 {
        return Some(format!(
            "{name} are written with up to {most} decimals of a {unit}, finer than a ruler can be read"
        ));
    }
    if most <= whole_mm {
        return Some(format!(
            "{name} are read to whole mm, so each may be half a mm off (standard uncertainty at least 0.03 cm)"
        ));
    }
    let bare_zero =
        || readings().any(|reading| reading.decimals() > 0 && reading.text().ends_with('0'));
    (fewest < most && !bare_zero()).then(|| {
        format!(
            "{name} are written with {fewest} to {most} decimals and none ends in 0: a program may have dropped closing zeros"
        )
    })
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::{LengthUnit, Severity};

    #[test]
    fn whole_millimetres_are_said() {
        let lines = "1|1||Blue 1|76|80|\n1|2||Red 40|32|80|\n1|3||Red 3|8|80|\n1|4||Blue 2|12|80|";
        let found = Example::in_unit(LengthUnit::Millimetre, lines).check(&CHECK);
        assert_eq!(found.len(), 2);
        assert!(found.iter().all(|check| check.severity == Severity::Info));
        assert!(found[0].message.contains("whole mm"), "{found:?}");
    }

    #[test]
    fn dropped_zeros_and_too_many_decimals_are_said() {
        let lines = "1|1||Blue 1|7.6|8.00|\n1|2||Red 40|3.24|8.01|\n1|3||Red 3|0.8|8.00|\n1|4||Blue 2|1.2|8.00|";
        assert!(
            Example::table(lines)
                .only(&CHECK)
                .2
                .message
                .contains("dropped")
        );
        let lines = "1|1||Blue 1|7.612|8.00|\n1|2||Red 40|3.24|8.01|\n1|3||Red 3|0.80|8.00|\n1|4||Blue 2|1.2|8.00|";
        assert!(
            Example::table(lines)
                .only(&CHECK)
                .2
                .message
                .contains("3 decimals")
        );
    }

    #[test]
    fn two_decimals_of_a_centimetre_are_usual() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
