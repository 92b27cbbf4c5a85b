//! Spot distances and fronts in each other's column.

use crate::entry_check::{EntryCheck, Finding};
use crate::exchanged_columns::Exchanged;
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{Severity, Where};

/// Exchanged columns turn every Rf into its inverse; the values look like numbers of another kind
/// and no strategy can do anything with them.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "columns-exchanged",
    why: "Exchanged columns turn every Rf into its inverse.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet.papers.iter().flat_map(of_paper).collect()
}

fn of_paper(paper: &PaperView<'_>) -> Vec<Finding> {
    match &paper.exchanged {
        Exchanged::WholePaper => {
            let known = &paper.known;
            let fitting = known.iter().filter(|k| k.fits(1.0 / k.rf)).count();
            let evidence = if known.is_empty() {
                "and the column headed distance looks like fronts".to_owned()
            } else {
                format!(
                    "and front ÷ distance fits the expected range in {fitting} of {} lanes of known dye",
                    known.len()
                )
            };
            let message = format!(
                "the columns distance and front look exchanged: every spot lies beyond its front, {evidence}"
            );
            let alternative = "read each distance as the front and each front as the distance";
            vec![Finding::new(Severity::Stop, Where::paper(paper.name), message).or(alternative)]
        }
        Exchanged::Lanes(lanes) => lanes.iter().map(|lane| of_lane(paper, *lane)).collect(),
    }
}

fn of_lane(paper: &PaperView<'_>, number: u32) -> Finding {
    let spots = paper.lanes.iter().filter(|view| view.lane.lane == number);
    let spot = spots
        .flat_map(|view| &view.lane.spots)
        .find(|spot| spot.rf.is_some());
    let rf = spot.and_then(|spot| spot.rf);
    let inverse = words::rf(rf.map(|rf| 1.0 / rf));
    let message = format!(
        "distance and front of lane {number} look exchanged: Rf is {}, and the distance {} is what the fronts of the other lanes are",
        words::rf(rf),
        words::cm(spot.and_then(|spot| spot.distance_cm).unwrap_or_default())
    );
    Finding::new(Severity::Stop, Where::lane(paper.name, number), message).or(format!(
        "Rf {inverse}, if the two values stand in each other's column"
    ))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_paper_with_exchanged_columns_fires_once() {
        let mut example = Example::clean();
        for lane in example
            .sheet
            .lanes
            .iter_mut()
            .filter(|lane| lane.paper == "1")
        {
            let row = &mut lane.rows[0];
            std::mem::swap(&mut row.distance, &mut row.front);
        }
        let (severity, place, check) = example.only(&CHECK);
        assert_eq!((severity, place.as_str()), (Severity::Stop, "paper 1"));
        assert!(check.message.contains("6 of 6"), "{check:?}");
    }

    #[test]
    fn one_exchanged_lane_among_samples_fires_there() {
        let example = Example::clean().row("2", 3, |row| {
            std::mem::swap(&mut row.distance, &mut row.front);
        });
        let (severity, place, check) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Stop, "paper 2, lane 3")
        );
        assert!(check.alternatives[0].contains("0.41"), "{check:?}");
    }

    #[test]
    fn a_clean_sheet_and_a_spot_on_the_front_do_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
        let on_front = Example::clean().row("1", 1, |row| row.distance = row.front.clone());
        assert!(on_front.check(&CHECK).is_empty());
    }
}
