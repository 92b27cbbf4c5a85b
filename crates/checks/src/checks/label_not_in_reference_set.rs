//! A lane of a known dye that the method expects nothing of.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{Severity, Where};

/// The dye is known, but there is nothing to hold its Rf against: the lane is neither checked nor
/// of help to the samples.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "label-not-in-reference-set",
    why: "Without an expected range the lane is neither checked nor of help to the samples.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let context = sheet.context;
    sheet
        .lanes()
        .filter_map(|view| {
            let dye = view.lane.dye.as_deref()?;
            if view.dye.reference.is_some() {
                return None;
            }
            let message = format!(
                "{} ({}) is not in the reference set of {}, so its Rf is held against nothing",
                view.lane.label,
                context.dye_name(dye),
                context.method.name()
            );
            let place = Where::lane(&view.lane.paper, view.lane.lane);
            Some(Finding::new(Severity::Info, place, message))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_dye_without_expected_values_is_said() {
        let (severity, place, check) = Example::table("1|3||E131|7|8|blue").only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Info, "paper 1, lane 3")
        );
        assert!(check.message.contains("Patent Blue V"), "{check:?}");
    }

    #[test]
    fn dyes_of_the_reference_set_and_samples_do_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
