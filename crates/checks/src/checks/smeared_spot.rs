//! A spot without a centre.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{Severity, Where};

/// A streak has no centre: where it was measured was the reader's choice, so it shows that
/// something is there and little more.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "smeared-spot",
    why: "A streak has no centre, so its Rf says that something is there and little more.",
    find,
};

/// Beginnings of the words for such spots.
const WORDS: [&str; 6] = ["streak", "smear", "tail", "merged", "comet", "smudge"];

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let lanes = sheet.lanes();
    lanes
        .flat_map(|view| view.lane.spots.iter().map(move |spot| (view.lane, spot)))
        .filter_map(|(lane, spot)| {
            let shape = spot.shape.as_deref()?;
            if !is_smeared(shape) {
                return None;
            }
            let message =
                format!("the spot is noted as {shape}: present, its Rf is not well measurable");
            let place = Where::spot(&lane.paper, lane.lane, spot.spot);
            let finding = Finding::new(Severity::Info, place, message);
            let behaviour = lane
                .dye
                .as_deref()
                .and_then(|dye| sheet.context.method.reference(dye)?.behaviour.clone());
            Some(finding.or_all(behaviour.map(|text| format!("expected of this dye: {text}"))))
        })
        .collect()
}

/// Whether a word for a spot's shape means one without a centre.
pub(crate) fn is_smeared(shape: &str) -> bool {
    let folded = shape.trim().to_lowercase();
    WORDS.iter().any(|word| folded.starts_with(word))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_streak_is_said_with_what_is_expected_of_the_dye() {
        let example = Example::clean()
            .row("1", 3, |row| row.shape = Some("Streaked".into()))
            .with(|e| e.method.references[2].behaviour = Some("tails in acid".into()));
        let (severity, place, check) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Info, "paper 1, lane 3, spot 1")
        );
        assert!(check.alternatives[0].contains("tails in acid"));
    }

    #[test]
    fn a_round_spot_does_not_fire() {
        assert!(
            Example::clean()
                .row("1", 3, |row| row.shape = Some("round".into()))
                .check(&CHECK)
                .is_empty()
        );
    }
}
