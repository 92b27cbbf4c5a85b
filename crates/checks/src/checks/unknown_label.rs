//! A standard whose label names no dye, or several.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{Severity, Where};

/// A standard without a dye can't be checked and helps no sample. The tool doesn't guess which dye
/// was meant: short names of food dyes are shared between different dyes.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "unknown-label",
    why: "A standard whose label names no single dye can't be checked and helps no sample.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let context = sheet.context;
    sheet
        .lanes()
        .filter(|view| view.lane.is_known() && view.lane.dye.is_none())
        .map(|view| {
            let lane = view.lane;
            let place = Where::lane(&lane.paper, lane.lane);
            if lane.choices.is_empty() {
                let message = format!(
                    "no dye is called {}, but the lane is a standard",
                    lane.label
                );
                let near = lane.near.iter().map(|name| format!("{name} was meant"));
                return Finding::new(Severity::Ask, place, message).or_all(near);
            }
            let names: Vec<String> = lane.choices.iter().map(|id| context.dye_name(id)).collect();
            let message = format!("{} may be {}", lane.label, words::choice(&names));
            Finding::new(Severity::Ask, place, message)
                .or_all(names.into_iter().map(|name| format!("{name} was meant")))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_misspelt_dye_asks_with_the_nearest_name() {
        let (severity, place, check) = Example::table(
            "1|1|standard|Tartrazin yelow|4.5|8|yellow\n1|2|standard|Tartrasine|4.5|8|",
        )
        .check(&CHECK)
        .into_iter()
        .map(|check| (check.severity, check.place.words(), check))
        .nth(1)
        .unwrap();
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Ask, "paper 1, lane 2")
        );
        assert!(
            check.alternatives.iter().any(|a| a.contains("Tartrazine")),
            "{check:?}"
        );
    }

    #[test]
    fn a_name_of_two_dyes_asks_with_both() {
        let check = Example::table("1|1||Azorubin S|4.5|8|red").only(&CHECK).2;
        assert_eq!(check.alternatives.len(), 2, "{check:?}");
    }

    #[test]
    fn a_sample_may_be_called_anything() {
        let sample = "2|1|sample|my yelow|4.5|8|yellow\n2|2||Q17|4.5|8|yellow";
        assert!(Example::table(sample).check(&CHECK).is_empty());
    }
}
