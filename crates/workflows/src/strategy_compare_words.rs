//! What a strategy says of a spot, in words.

use crate::solvent_words::dye_name;
use dyebook_documents::{Candidate, Decision, DyeRegister, SpotIdentity};

/// Candidates less likely than this aren't named.
const WORTH_NAMING: f64 = 0.01;

/// The decision with the dyes that it names: `Tartrazine`, `Allura Red AC or Azorubine`.
pub(crate) fn spot_verdict(spot: &SpotIdentity, dyes: &DyeRegister) -> String {
    let standing: Vec<&Candidate> = match spot.decision {
        Decision::Identified => spot.candidates.iter().take(1).collect(),
        Decision::Indistinguishable => {
            let likely = |one: &&Candidate| one.probability.is_none_or(|p| p >= WORTH_NAMING);
            spot.candidates.iter().filter(likely).collect()
        }
        _ => vec![],
    };
    let names: Vec<String> = standing
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
fn spot_words(held: &[String], dyes: &DyeRegister) -> String {
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
