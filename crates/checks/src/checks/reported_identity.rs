//! A standard lane that the group itself reports as another dye.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{DyeLookup, Severity, Where};

/// In the lane of a dye standard the label says what was spotted. A group that reports another dye
/// there has exchanged lanes, or named the dye by a name of another one.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "reported-identity",
    why: "A standard reported as another dye means exchanged lanes or confused names.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let context = sheet.context;
    let mut found = vec![];
    for view in sheet.lanes() {
        let Some(dye) = view.lane.dye.as_deref() else {
            continue;
        };
        for spot in &view.lane.spots {
            let row = &view.written.rows[spot.position];
            let Some(reported) = row.reported_identity.as_deref() else {
                continue;
            };
            let DyeLookup::Found(named) = context.dyes.find(reported) else {
                continue;
            };
            if named.id == dye {
                continue;
            }
            let message = format!(
                "the lane labelled {} ({}) is reported as {reported} ({})",
                view.lane.label,
                context.dye_name(dye),
                named.name
            );
            let place = Where::spot(&view.lane.paper, view.lane.lane, spot.spot);
            found.push(
                Finding::new(Severity::Ask, place, message)
                    .or("two lanes are exchanged")
                    .or("one name was taken for another"),
            );
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn another_dye_in_a_standard_lane_asks() {
        let example =
            Example::clean().row("1", 4, |row| row.reported_identity = Some("Red 3".into()));
        let (severity, place, _) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Ask, "paper 1, lane 4, spot 1")
        );
    }

    #[test]
    fn another_name_of_the_same_dye_and_a_free_word_do_not_fire() {
        let example = Example::clean()
            .row("1", 4, |row| row.reported_identity = Some("E129".into()))
            .row("1", 3, |row| {
                row.reported_identity = Some("pink stuff".into());
            });
        assert!(example.check(&CHECK).is_empty());
    }
}
