//! A reported identity against the group's own standards and the record.

use super::own_standards::{OwnData, own_data};
use crate::evaluated_sheet::{EvaluatedLane, EvaluatedSpot};
use crate::sheet_view::SheetView;
use dyebook_documents::{DyeLookup, DyeRegister};
use serde::Serialize;

/// A reported identity.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct IdentityClaim {
    /// As written.
    pub reported: String,
    /// Identifiers of the dyes that it names; several where one spot is said to hold them.
    pub dyes: Vec<String>,
    /// Whether the group's own standards say so.
    pub own_data: OwnData,
    /// Whether the record says so.
    pub record: RecordVerdict,
}

/// A claim against what the lane is recorded to hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum RecordVerdict {
    /// The lane holds every dye claimed of the spot.
    #[serde(rename = "right")]
    Right,
    /// It doesn't.
    #[serde(rename = "wrong")]
    Wrong,
    /// Nothing is recorded, or the claim names no known dye.
    #[serde(rename = "not recorded")]
    NotRecorded,
}

pub(super) fn identity_claim(
    sheet: &SheetView<'_>,
    lane: &EvaluatedLane,
    spot: &EvaluatedSpot,
    reported: &str,
    held: Option<&[String]>,
) -> IdentityClaim {
    let dyes = named_dyes(sheet.context.dyes, reported);
    let record = match held {
        Some(held) if !dyes.is_empty() => {
            if dyes.iter().all(|dye| held.contains(dye)) {
                RecordVerdict::Right
            } else {
                RecordVerdict::Wrong
            }
        }
        _ => RecordVerdict::NotRecorded,
    };
    let own_data = match dyes.as_slice() {
        [] => OwnData::NotRead,
        [dye] => own_data(sheet, lane, spot, dye),
        // Where a spot of two dyes should stand, their standards don't say.
        _ => OwnData::NoOwnStandard,
    };
    IdentityClaim {
        reported: reported.to_owned(),
        dyes,
        own_data,
        record,
    }
}

/// The dyes that a reported identity names; none if a part of it names no single dye.
fn named_dyes(dyes: &DyeRegister, reported: &str) -> Vec<String> {
    let one = |name: &str| match dyes.find(name) {
        DyeLookup::Found(dye) => Some(dye.id.clone()),
        _ => None,
    };
    if let Some(dye) = one(reported) {
        return vec![dye];
    }
    let apart = reported.replace(" and ", "+");
    let parts = apart
        .split(['+', '/', ',', ';'])
        .filter(|part| !part.trim().is_empty());
    parts
        .map(one)
        .collect::<Option<Vec<String>>>()
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::named_dyes;
    use crate::example::dyes;

    #[test]
    fn one_or_several_names_are_read_and_no_part_is_guessed() {
        let dyes = dyes();
        assert_eq!(named_dyes(&dyes, "FD&C Red No. 40"), ["allura-red-ac"]);
        let both = ["tartrazine", "brilliant-blue-fcf"];
        assert_eq!(named_dyes(&dyes, "Yellow 5 + Blue 1"), both);
        assert_eq!(named_dyes(&dyes, "E102 and E133"), both);
        assert!(named_dyes(&dyes, "Yellow 5 and something").is_empty());
    }
}
