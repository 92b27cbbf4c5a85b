//! Unknown mixtures: can they still be told under the new version?

use super::one_solvent::OneSolvent;
use super::pair::DyePair;
use serde::Serialize;

/// An unknown mixture under both versions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MixtureVerdict {
    /// The dyes in it.
    pub dyes: Vec<String>,
    /// Whether it can be told under the old version; `None` where that has no reference of a dye.
    pub told_before: Option<bool>,
    /// Whether it can be told under the new version; `None` where that has no reference of a dye.
    pub told_now: Option<bool>,
    /// Why not, in sentences.
    pub why: Vec<String>,
}

/// Spots nearer than this run into one and show a mixed colour (common practice, no source).
const ONE_SPOT: f64 = 0.03;

/// Whether each mixture can be told under both versions.
pub(super) fn mixtures(
    mixtures: &[Vec<String>],
    before: Option<&OneSolvent>,
    now: Option<&OneSolvent>,
    most_confusion: f64,
) -> Vec<MixtureVerdict> {
    mixtures
        .iter()
        .map(|dyes| {
            let reasons = |solvent: &OneSolvent| reasons(dyes, solvent, most_confusion);
            let old = before.and_then(reasons);
            let new = now.and_then(reasons);
            MixtureVerdict {
                dyes: dyes.clone(),
                told_before: old.map(|reasons| reasons.is_empty()),
                told_now: new.as_ref().map(Vec::is_empty),
                why: new.unwrap_or_else(|| {
                    vec!["the new version has no reference of one of its dyes".to_owned()]
                }),
            }
        })
        .collect()
}

/// Why a mixture can't be told; `None` where a dye of it has no reference.
fn reasons(dyes: &[String], solvent: &OneSolvent, most_confusion: f64) -> Option<Vec<String>> {
    let known = |dye: &String| solvent.dyes.iter().any(|placed| placed.dye == *dye);
    if !dyes.iter().all(known) {
        return None;
    }
    let mut all: Vec<String> = Vec::new();
    for pair in &solvent.pairs {
        let inside = pair.dyes.iter().filter(|dye| dyes.contains(dye)).count();
        if inside == 0 {
            continue;
        }
        if pair.like_coloured && pair.confusion > most_confusion {
            all.push(pair.sentence.clone());
        } else if inside == 2 && pair.gap < ONE_SPOT {
            all.push(one_spot(pair));
        }
    }
    Some(all)
}

fn one_spot(pair: &DyePair) -> String {
    format!(
        "{} and {} lie {:.3} apart in Rf and run into one spot of a mixed colour",
        pair.dyes[0], pair.dyes[1], pair.gap
    )
}
