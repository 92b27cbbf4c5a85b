//! A paper that can't be one of this layout.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{Method, Severity, Where};
use std::collections::BTreeSet;

/// More lanes than fit, or a spot above the upper edge: two papers under one name, another layout,
/// or distances from somewhere else.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "impossible-paper",
    why: "More lanes than fit or a spot above the edge: this is not one paper of this layout.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let method = sheet.context.method;
    sheet
        .papers
        .iter()
        .flat_map(|paper| {
            let labelled_right = paper.other_units.is_empty();
            let spots = if labelled_right {
                above_the_edge(method, paper)
            } else {
                vec![]
            };
            too_many_lanes(method, paper).into_iter().chain(spots)
        })
        .collect()
}

fn too_many_lanes(method: &Method, paper: &PaperView<'_>) -> Option<Finding> {
    let fit = method.layout.as_ref()?.lanes?;
    if u32::try_from(paper.lanes.len()).is_ok_and(|lanes| lanes <= fit) {
        return None;
    }
    let lanes: BTreeSet<u32> = paper.lanes.iter().map(|view| view.lane.lane).collect();
    let count = u32::try_from(lanes.len()).unwrap_or(u32::MAX);
    (count > fit).then(|| {
        let message = format!("{count} lanes, but a paper of {} has {fit}", method.name());
        Finding::new(Severity::Stop, Where::paper(paper.name), message)
            .or("two papers were given the same name")
            .or("the sheet names the wrong method version")
    })
}

fn above_the_edge(method: &Method, paper: &PaperView<'_>) -> Vec<Finding> {
    let Some(height) = method
        .layout
        .as_ref()
        .and_then(|layout| layout.paper_height_cm)
    else {
        return vec![];
    };
    let spots = paper
        .lanes
        .iter()
        .flat_map(|view| view.lane.spots.iter().map(|spot| (view.lane.lane, spot)));
    spots
        .filter_map(|(lane, spot)| {
            let distance = spot.distance_cm.filter(|distance| *distance > height)?;
            if paper.explains(lane, spot.spot) {
                return None;
            }
            let message = format!(
                "a spot {} above the start line, on a paper {} high",
                words::cm(distance),
                words::cm(height)
            );
            let place = Where::spot(paper.name, lane, spot.spot);
            Some(Finding::new(Severity::Warn, place, message).or("the distance was mistyped"))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn nine_lanes_on_a_paper_for_eight_stop() {
        let lines: Vec<String> = (1..=9)
            .map(|lane| format!("1|{lane}||Red 40|3.2|8|red"))
            .collect();
        let (severity, place, _) = Example::table(&lines.join("\n")).only(&CHECK);
        assert_eq!((severity, place.as_str()), (Severity::Stop, "paper 1"));
    }

    #[test]
    fn a_spot_above_the_edge_warns() {
        let lines = "2|1|sample|Q1|14|8|red\n2|2|sample|Q2|3.2|8.1|red";
        let (severity, place, _) = Example::table(lines).only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Warn, "paper 2, lane 1, spot 1")
        );
    }

    #[test]
    fn two_papers_do_not_count_as_one() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
