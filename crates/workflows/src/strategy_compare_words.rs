//! What a strategy says of a spot, in words.

use crate::solvent_words::dye_name;
use compact_str::CompactString;
use dyebook_documents::{Candidate, Decision, DyeRegister, SpotIdentity};
use std::collections::BTreeSet;

/// Candidates less likely than this aren't named.
const WORTH_NAMING: f64 = 0.01;

/// What a verdict leaves standing: the dye it names, or those it can't tell apart.
fn standing(spot: &SpotIdentity) -> Vec<&Candidate> {
    match spot.decision {
        Decision::Identified => spot.candidates.iter().take(1).collect(),
        Decision::Indistinguishable => {
            let likely = |one: &&Candidate| one.probability.is_none_or(|p| p >= WORTH_NAMING);
            spot.candidates.iter().filter(likely).collect()
        }
        _ => vec![],
    }
}

/// The same decision with the same dyes left standing, in any order. Two strategies that can't tell
/// send a group to different bottles when they can't tell between different dyes.
pub(crate) fn same_verdict(one: &SpotIdentity, other: &SpotIdentity) -> bool {
    let dyes = |spot| {
        let candidates = standing(spot).into_iter();
        candidates
            .map(|one| one.dyes.iter().collect::<BTreeSet<_>>())
            .collect::<BTreeSet<_>>()
    };
    one.decision == other.decision && dyes(one) == dyes(other)
}

/// The decision with the dyes that it names: `Tartrazine`, `Allura Red AC or Azorubine`.
pub(crate) fn spot_verdict(spot: &SpotIdentity, dyes: &DyeRegister) -> String {
    let names: Vec<String> = standing(spot)
        .iter()
        .map(|one| spot_words(&one.dyes, dyes))
        .collect();
    match spot.decision {
        Decision::Identified => names.join(""),
        Decision::Indistinguishable if names.len() > 1 => {
            format!("can't tell: {}", listed(&names, " or "))
        }
        // What is left open is whether it is that dye at all.
        Decision::Indistinguishable => {
            format!("can't tell: {} or no known dye", names.join(""))
        }
        Decision::NotInReferenceSet => "not in the reference set".to_owned(),
        Decision::NotEvaluable => "not evaluable".to_owned(),
        Decision::NoValidReference => "no valid reference".to_owned(),
    }
}

/// Dyes that are there together: `Tartrazine and Brilliant Blue FCF`.
pub(crate) fn held_words(held: &[String], dyes: &DyeRegister) -> String {
    let names: Vec<String> = held.iter().map(|id| dye_name(id, dyes)).collect();
    listed(&names, " and ")
}

/// Dyes in one spot: `Tartrazine with Brilliant Blue FCF`.
fn spot_words(held: &[CompactString], dyes: &DyeRegister) -> String {
    let names: Vec<String> = held.iter().map(|id| dye_name(id, dyes)).collect();
    names.join(" with ")
}

fn listed(names: &[String], last: &str) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., end] => format!("{}{last}{end}", first.join(", ")),
    }
}

/// `3 of 120 (2.5 %)`.
#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 spots")]
pub fn share_words(part: usize, whole: usize) -> String {
    if whole == 0 {
        return "none".to_owned();
    }
    format!(
        "{part} of {whole} ({:.1} %)",
        100.0 * part as f64 / whole as f64
    )
}

#[cfg(test)]
mod tests {
    use super::same_verdict;
    use crate::strategy_compare_score::tests::spot;
    use dyebook_documents::{Decision, SpotIdentity};

    fn undecided(candidates: &[(&[&str], Option<f64>)]) -> SpotIdentity {
        spot(Decision::Indistinguishable, candidates)
    }

    #[test]
    fn undecided_between_other_dyes_is_another_verdict() {
        let reds = undecided(&[(&["azorubine"], None), (&["amaranth"], None)]);
        let turned = undecided(&[(&["amaranth"], None), (&["azorubine"], None)]);
        assert!(same_verdict(&reds, &turned), "order says nothing");
        let other = undecided(&[(&["azorubine"], None), (&["ponceau-4r"], None)]);
        assert!(!same_verdict(&reds, &other));
        let more = undecided(&[
            (&["azorubine"], None),
            (&["amaranth"], None),
            (&["ponceau-4r"], None),
        ]);
        assert!(!same_verdict(&reds, &more));
        let together = undecided(&[(&["azorubine", "amaranth"], None)]);
        assert!(!same_verdict(&reds, &together), "one spot with both dyes");
    }

    #[test]
    fn a_candidate_too_unlikely_to_be_named_makes_no_difference() {
        let reds = undecided(&[(&["azorubine"], Some(0.6)), (&["amaranth"], Some(0.4))]);
        let with_a_trace = undecided(&[
            (&["azorubine"], Some(0.6)),
            (&["amaranth"], Some(0.39)),
            (&["ponceau-4r"], Some(0.009)),
        ]);
        assert!(same_verdict(&reds, &with_a_trace));
    }
}
