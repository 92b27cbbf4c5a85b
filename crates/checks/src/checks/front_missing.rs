//! A lane with spots and no front.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::{LaneView, PaperView, SheetView};
use crate::words;
use dyebook_documents::{Severity, Where};

/// Without the front of its own lane a distance has no Rf. The neighbours' fronts are near it, but
/// only a person may decide to take one of them.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "front-missing",
    why: "Without a front there is no Rf, and it is not taken from a neighbour.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet.papers.iter().flat_map(of_paper).collect()
}

fn of_paper(paper: &PaperView<'_>) -> Vec<Finding> {
    let is_bare = |view: &&LaneView<'_>| {
        view.written.rows.iter().all(|row| row.front.is_none())
            && view.lane.spots.iter().any(|s| s.distance_cm.is_some())
    };
    let bare: Vec<&LaneView<'_>> = paper.lanes.iter().filter(is_bare).collect();
    if bare.is_empty() {
        return vec![];
    }
    let fronts = &paper.fronts;
    let numbers: Vec<u32> = bare.iter().map(|view| view.lane.lane).collect();
    if let ([(lane, front)], true) = (fronts.as_slice(), bare.len() > 1) {
        let message = format!(
            "only lane {lane} has a front ({}); {} have none, so their spots have no Rf",
            words::cm(*front),
            words::lanes(&numbers)
        );
        let finding = Finding::new(Severity::Ask, Where::paper(paper.name), message);
        return vec![finding.or("one front was measured for the whole paper")];
    }
    if fronts.is_empty() && bare.len() > 1 {
        let message = format!(
            "{} have no front, so no spot has an Rf",
            words::lanes(&numbers)
        );
        return vec![Finding::new(
            Severity::Ask,
            Where::paper(paper.name),
            message,
        )];
    }
    bare.into_iter()
        .map(|view| of_lane(paper.name, view, fronts))
        .collect()
}

fn of_lane(paper: &str, view: &LaneView<'_>, fronts: &[(u32, f64)]) -> Finding {
    let number = view.lane.lane;
    let message = format!("lane {number} ({}) has no front, so no Rf", view.lane.label);
    let neighbours: Vec<String> = fronts
        .iter()
        .filter(|(lane, _)| lane.abs_diff(number) == 1)
        .map(|(lane, front)| format!("{} in lane {lane}", words::cm(*front)))
        .collect();
    let finding = Finding::new(Severity::Ask, Where::lane(paper, number), message);
    if neighbours.is_empty() {
        finding
    } else {
        finding.or(format!(
            "the front is {}; ask before one is used",
            words::list(&neighbours)
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_lane_without_a_front_asks_and_shows_the_neighbours() {
        let example = Example::clean().row("1", 4, |row| row.front = None);
        let (severity, place, check) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Ask, "paper 1, lane 4")
        );
        assert!(
            check.alternatives[0].contains("8.05 cm in lane 3"),
            "{check:?}"
        );
    }

    #[test]
    fn one_front_for_a_whole_paper_asks_once() {
        let example = (2..=6).fold(Example::clean(), |e, lane| {
            e.row("1", lane, |r| r.front = None)
        });
        assert_eq!(example.only(&CHECK).1, "paper 1");
    }

    #[test]
    fn a_lane_without_a_spot_needs_no_front() {
        let example = Example::clean().row("1", 4, |row| {
            row.front = None;
            row.distance = None;
            row.colour = None;
        });
        assert!(example.check(&CHECK).is_empty());
    }
}
