//! Both columns headed with a unit in which this paper can't be.

use crate::entry_check::{EntryCheck, Finding};
use crate::possible_front::possible_front;
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{LengthUnit, Severity, Where};

/// With the same wrong unit in both columns Rf stay right, but every limit in cm (shortest front,
/// reading uncertainty, spot width) is held against the wrong number.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "unit-label",
    why: "Rf stay right with one wrong unit for both columns, but limits and uncertainties don't.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .papers
        .iter()
        .filter_map(|paper| of_paper(sheet, paper))
        .collect()
}

fn of_paper(sheet: &SheetView<'_>, paper: &PaperView<'_>) -> Option<Finding> {
    let context = sheet.context;
    let units = &paper.other_units;
    let labelled = context.sheet.units.front;
    if units.is_empty() {
        return None;
    }
    let fronts = paper.fronts.iter().map(|(_, front)| *front);
    let longest = fronts.fold(0.0, f64::max);
    let as_written = longest / labelled.ratio_to(LengthUnit::Centimetre);
    let possible = possible_front(context.method);
    let why = if longest < possible.low {
        format!(
            "too short for any run (at least {})",
            words::cm(possible.low)
        )
    } else {
        format!(
            "more than the paper's height of {}",
            words::cm(possible.high)
        )
    };
    let shown = format!("{as_written:.2}");
    let shown = shown.trim_end_matches('0').trim_end_matches('.');
    let message = format!(
        "the unit {labelled} can't be right: a front of {shown} {labelled} is {why}; Rf are not affected, their uncertainty is",
        labelled = words::unit(labelled),
    );
    let readings = units.iter().map(|unit| {
        let front = words::cm(longest * unit.ratio_to(labelled));
        format!(
            "distances and fronts are in {}: the front is then {front}",
            words::unit(*unit)
        )
    });
    let finding = Finding::new(Severity::Warn, Where::paper(paper.name), message);
    Some(finding.or_all(readings))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::{LengthUnit, Severity};

    #[test]
    fn centimetres_under_a_heading_of_millimetres_are_named() {
        let lines = "1|1||Blue 1|7.6|8.0|blue\n1|2||Red 40|3.2|8.0|red";
        let (severity, place, check) = Example::in_unit(LengthUnit::Millimetre, lines).only(&CHECK);
        assert_eq!((severity, place.as_str()), (Severity::Warn, "paper 1"));
        assert!(
            check.alternatives[0].contains("in cm: the front is then 8.0 cm"),
            "{check:?}"
        );
    }

    #[test]
    fn millimetres_under_a_heading_of_centimetres_are_named() {
        let lines = "1|1||Blue 1|76|80|blue\n1|2||Red 40|32|80|red";
        let check = Example::table(lines).only(&CHECK).2;
        assert!(check.alternatives[0].contains("in mm"), "{check:?}");
    }

    #[test]
    fn a_possible_front_does_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
