//! A paper that another sheet has too.

use crate::context::{Context, KnownPaper};
use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{Severity, Where};
use std::collections::BTreeSet;

/// One paper on two sheets is a resubmission, a paper shared by partners, or a copy; counted twice
/// it makes the class's spread look smaller than it is.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "paper-repeated",
    why: "A paper that stands on two sheets counts twice, and makes the spread look small.",
    find,
};

/// Fewer equal readings than this are no wonder.
const ENOUGH_READINGS: usize = 3;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let context = sheet.context;
    if context.known_papers.is_empty() {
        return vec![];
    }
    let own = context.own_papers.iter();
    own.filter_map(|own| of_paper(context, own)).collect()
}

fn of_paper(context: &Context<'_>, own: &KnownPaper) -> Option<Finding> {
    let written = context.sheet;
    let (paper, own) = (own.paper.as_str(), &own.readings);
    let others = context.known_papers;
    let same_day = |other: &KnownPaper| {
        other.paper == paper && (&other.section, other.date) == (&written.section, written.date)
    };
    let alike = |other: &KnownPaper| own.len() >= ENOUGH_READINGS && other.readings == *own;
    let place = || Where::paper(paper);
    if let Some(other) = others.iter().find(|other| alike(other)) {
        let message = format!(
            "all {} readings of paper {paper} also stand on sheet {} of group {}, paper {}{}",
            own.len(),
            other.sheet,
            other.group,
            other.paper,
            other
                .date
                .map(|date| format!(", of {date}"))
                .unwrap_or_default()
        );
        let finding = Finding::new(Severity::Stop, place(), message);
        return Some(
            finding
                .or("the sheet was handed in again")
                .or("partners share one paper")
                .or("a copy"),
        );
    }
    let named: Vec<&KnownPaper> = others
        .iter()
        .copied()
        .filter(|other| same_day(other))
        .collect();
    if let Some(again) = named.iter().find(|other| other.group == written.group) {
        let message = format!(
            "paper {paper} of group {} also stands on sheet {}, of the same day, with other readings",
            written.group, again.sheet
        );
        return Some(
            Finding::new(Severity::Stop, place(), message).or("the sheet was handed in again"),
        );
    }
    let groups: BTreeSet<&str> = named.iter().map(|other| other.group.as_str()).collect();
    let groups: Vec<&str> = groups.into_iter().collect();
    // Every group calls its papers 1 and 2, or S and U; a name with more to it is meant to be one
    // paper's, unless several groups use it.
    if !is_distinctive(paper) || groups.len() != 1 {
        return None;
    }
    let message = format!(
        "paper {paper} also stands on the sheet of group {}, with other readings",
        words::list(&groups)
    );
    let finding = Finding::new(Severity::Stop, place(), message);
    Some(
        finding
            .or("one of the two names was mistyped")
            .or("each group numbers its own papers"),
    )
}

/// Whether a name looks like one of a numbered series: two digits at least.
fn is_distinctive(paper: &str) -> bool {
    paper.chars().filter(char::is_ascii_digit).count() >= 2
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::context::KnownPaper;
    use crate::example::Example;
    use dyebook_documents::Severity;

    fn of_group(group: &str, change: impl FnOnce(&mut Example)) -> Vec<KnownPaper> {
        let other = Example::clean()
            .with(|e| e.sheet.group = group.into())
            .with(change);
        KnownPaper::of_sheet("sheet-of-another", &other.sheet)
    }

    #[test]
    fn the_same_readings_stop_whatever_the_paper_is_called() {
        let example = Example::clean().with(|e| {
            e.known = of_group("5", |other| {
                for lane in other
                    .sheet
                    .lanes
                    .iter_mut()
                    .filter(|lane| lane.paper == "1")
                {
                    lane.paper = "A".into();
                }
                other.sheet.lanes.retain(|lane| lane.paper == "A");
            });
        });
        let (severity, place, check) = example.only(&CHECK);
        assert_eq!((severity, place.as_str()), (Severity::Stop, "paper 1"));
        assert!(check.message.contains("group 5"), "{check:?}");
    }

    #[test]
    fn a_numbered_paper_of_two_groups_stops() {
        let rename = |e: &mut Example| {
            for lane in &mut e.sheet.lanes {
                lane.paper = format!("P-1{}", lane.paper).into();
            }
        };
        let example = Example::clean().with(rename).with(|e| {
            e.known = of_group("5", rename);
            e.known.retain(|paper| paper.paper == "P-11");
            e.known[0].readings.pop();
        });
        assert_eq!(example.only(&CHECK).1, "paper P-11");
    }

    #[test]
    fn groups_that_number_their_own_papers_do_not_fire() {
        let example = Example::clean().with(|e| {
            e.known = of_group("5", |_| {});
            for paper in &mut e.known {
                paper.readings.pop();
            }
        });
        assert!(example.check(&CHECK).is_empty());
    }
}
