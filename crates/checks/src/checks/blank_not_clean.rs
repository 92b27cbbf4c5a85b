//! A spot in a blank lane.

use crate::entry_check::{EntryCheck, Finding};
use crate::evaluate::is_blank;
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{Severity, Where};

/// Nothing was spotted in a blank, so whatever shows there came with the solvent, the paper or the
/// hands, and may show in every other lane too.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "blank-not-clean",
    why: "What shows in a blank came with solvent, paper or hands, and may show in every lane.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let blanks = sheet.lanes().filter(|view| is_blank(&view.lane.label));
    blanks
        .filter_map(|view| {
            let lane = view.lane;
            let spot = lane.spots.first()?;
            let message = format!("the blank shows a spot at Rf {}", words::rf(spot.rf));
            let place = Where::spot(&lane.paper, lane.lane, spot.spot);
            let finding = Finding::new(Severity::Warn, place, message);
            Some(
                finding
                    .or("a row of another lane")
                    .or("the paper or the solvent is not clean"),
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_spot_in_the_blank_warns() {
        let (severity, place, _) = Example::table("1|7|sample|Blank|3.1|8.0|").only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Warn, "paper 1, lane 7, spot 1")
        );
    }

    #[test]
    fn a_clean_blank_does_not_fire_and_makes_no_samples_paper() {
        let example = Example::table("1|1||Red 40|3.2|8.0|red\n1|7||blank 2||8.0|");
        assert!(example.check(&CHECK).is_empty());
        assert_eq!(
            example.evaluated().lanes[0].role,
            dyebook_documents::Role::Standard
        );
    }
}
