//! The same lane twice on one paper.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{Severity, Where};
use std::collections::BTreeMap;

/// Two contents in one lane: one of them stands in another lane, so labels and values no longer
/// belong together.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "lane-repeated",
    why: "Two contents in one lane: labels and values no longer belong together.",
    find,
};

/// No paper has more lanes.
const MOST_LANES: u32 = 100;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet.papers.iter().flat_map(of_paper).collect()
}

fn of_paper(paper: &PaperView<'_>) -> Vec<Finding> {
    let numbers = paper.lanes.iter().map(|view| view.lane.lane);
    if numbers.is_sorted_by(|a, b| a < b) {
        return vec![];
    }
    let mut labels: BTreeMap<u32, Vec<&str>> = BTreeMap::new();
    for view in &paper.lanes {
        labels
            .entry(view.lane.lane)
            .or_default()
            .push(&view.lane.label);
    }
    // A mistyped lane number may be as large as it likes.
    let highest = labels
        .keys()
        .next_back()
        .copied()
        .unwrap_or(0)
        .min(MOST_LANES);
    let missing: Vec<u32> = (1..highest)
        .filter(|lane| !labels.contains_key(lane))
        .collect();
    labels
        .iter()
        .filter(|(_, labels)| labels.len() > 1)
        .map(|(lane, labels)| {
            let message = format!(
                "lane {lane} stands {} times: {}",
                labels.len(),
                words::list(labels)
            );
            let finding = Finding::new(Severity::Stop, Where::lane(paper.name, *lane), message);
            if let [free] = missing.as_slice() {
                finding.or(format!("one of them is lane {free}, which is missing"))
            } else {
                finding.or("one of them is of another lane or another paper")
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn two_labels_in_one_lane_stop_and_the_missing_lane_is_named() {
        let lines = "1|1||Red 40|3.2|8|red\n1|1||Blue 1|7.6|8|blue\n1|3||Red 3|0.8|8|pink";
        let (severity, place, check) = Example::table(lines).only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Stop, "paper 1, lane 1")
        );
        assert!(check.alternatives[0].contains("lane 2"), "{check:?}");
    }

    #[test]
    fn two_spots_in_a_lane_and_one_number_on_two_papers_do_not_fire() {
        let lines = "1|1|sample|Q1|3.2|8|red\n1|1|sample|Q1|7.6|8|blue\n2|1||Red 3|0.8|8|pink";
        assert!(Example::table(lines).check(&CHECK).is_empty());
    }
}
