//! `reference verify`: did a change that should not matter (another lot of paper or dye, another
//! batch) move Rf? Equivalence, not "no significant difference", which few papers always give.

use super::design::{DyeRuns, by_dye};
use super::like_coloured::like_coloured;
use super::standards::standards;
use super::verify_pairs::{Compared, compare_apart, compare_on_papers, needed};
use super::wanted_sheets::wanted_sheets;
use crate::failure::Failure;
use crate::resolve_method::resolve_method;
use dyebook_documents::{DyeRegister, Method};
use dyebook_library::{KeptMethod, KeptSheet, Library};
use serde::Serialize;

/// A difference that is usually taken to matter; a bench proposal, common practice without a source.
const USUAL_LIMIT: f64 = 0.03;
/// Share of half the smallest gap between like-coloured dyes that a limit takes, where the usual
/// limit is not below that half.
const SHARE_OF_HALF_GAP: f64 = 0.9;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct VerifyRequest<'a> {
    /// The version with which the old sheets are read.
    pub old: &'a str,
    /// The version with which the new sheets are read.
    pub new: &'a str,
    /// Old sheets; otherwise those bound to `old`.
    pub from_old: &'a [String],
    /// New sheets; otherwise those bound to `new`.
    pub from_new: &'a [String],
    /// Lanes that hold the new lot, on the same papers as the old one.
    pub new_lanes: &'a [u32],
    /// The difference that would matter.
    pub delta: Option<f64>,
}

/// What an equivalence test says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// The interval lies inside ± δ.
    Equivalent,
    /// The interval lies outside ± δ.
    Different,
    /// The runs can't decide.
    Undecided,
}

/// What was found for one dye.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DyeVerdict {
    /// Dye identifier.
    pub dye: String,
    /// What was compared.
    #[serde(flatten)]
    pub compared: Compared,
    /// The verdict.
    pub verdict: Verdict,
    /// How many papers (or sessions) of each would decide, where these can't.
    pub needed: Option<usize>,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct Verification {
    /// The old version.
    pub old: KeptMethod,
    /// The new version.
    pub new: KeptMethod,
    /// The sheets of the old side.
    pub old_sheets: Vec<String>,
    /// The sheets of the new side.
    pub new_sheets: Vec<String>,
    /// The difference that would matter.
    pub delta: f64,
    /// Where it is from.
    pub delta_from: String,
    /// One a dye.
    pub dyes: Vec<DyeVerdict>,
    /// What a person should know beside, in sentences.
    pub notes: Vec<String>,
}

impl Verification {
    /// Whether the change matters for no dye.
    pub fn passes(&self) -> bool {
        !self.dyes.is_empty()
            && self
                .dyes
                .iter()
                .all(|dye| dye.verdict == Verdict::Equivalent)
    }
}

/// Compares the dye standards of two sets of sheets, or of two lots on the same papers.
///
/// # Errors
/// Sheets that stand on both sides, nothing to compare, a limit that is not above 0, and what the
/// library says.
pub fn verify_references(
    library: &Library,
    dyes: &DyeRegister,
    request: VerifyRequest<'_>,
) -> Result<Verification, Failure> {
    let (old, new) = (
        resolve_method(library, request.old)?,
        resolve_method(library, request.new)?,
    );
    let (old_method, new_method) = (old.method()?, new.method()?);
    let (delta, delta_from) = limit(&old_method, dyes, request.delta)?;
    let paired = !request.new_lanes.is_empty();
    let old_sheets = side(library, &old, request.from_old)?;
    let new_sheets = if paired && request.from_new.is_empty() {
        Vec::new()
    } else {
        side(library, &new, request.from_new)?
    };
    let mut out = Verification {
        old_sheets: old_sheets.iter().map(|kept| kept.id.clone()).collect(),
        new_sheets: new_sheets.iter().map(|kept| kept.id.clone()).collect(),
        delta,
        delta_from,
        dyes: Vec::new(),
        notes: notes(&old, &new),
        old,
        new,
    };
    let exclusions = library.exclusions()?;
    let runs = |sheets: &[KeptSheet], method: &Method| {
        standards(library, dyes, sheets, method, &exclusions).map(|found| by_dye(&found.spots))
    };
    let compared: Vec<(String, Compared)> = if paired {
        let all: Vec<KeptSheet> = old_sheets.into_iter().chain(new_sheets).collect();
        let runs = runs(&all, &old_method)?;
        runs.iter()
            .map(|dye| {
                (
                    dye.dye.clone(),
                    compare_on_papers(dye, request.new_lanes, delta),
                )
            })
            .collect()
    } else {
        two_sides(&out)?;
        let (old_runs, new_runs) = (
            runs(&old_sheets, &old_method)?,
            runs(&new_sheets, &new_method)?,
        );
        both_sides(&old_runs, &new_runs, &mut out.notes)
            .into_iter()
            .map(|(old, new)| (old.dye.clone(), compare_apart(old, new, delta)))
            .collect()
    };
    for (dye, compared) in compared {
        let verdict = compared.verdict(delta);
        let sd = old_method
            .reference(&dye)
            .and_then(|reference| reference.sd);
        out.dyes.push(DyeVerdict {
            needed: (verdict == Verdict::Undecided)
                .then(|| needed(&compared, sd, delta))
                .flatten(),
            dye,
            compared,
            verdict,
        });
    }
    if out.dyes.is_empty() {
        return Err(Failure::refused(
            "reference.nothing-to-compare",
            "no dye standard was run on both sides",
        )
        .details(out.notes));
    }
    Ok(out)
}

fn side(
    library: &Library,
    method: &KeptMethod,
    named: &[String],
) -> Result<Vec<KeptSheet>, Failure> {
    if !named.is_empty() {
        return wanted_sheets(library, named);
    }
    let ids = library.sheets_of_method(&method.id, &method.version)?;
    if ids.is_empty() {
        return Err(Failure::refused(
            "reference.no-sheets",
            format!("no sheet is bound to `{}`", method.name()),
        )
        .hint("name the sheets with --from-old and --from-new"));
    }
    wanted_sheets(library, &ids)
}

fn two_sides(found: &Verification) -> Result<(), Failure> {
    let both: Vec<String> = found
        .old_sheets
        .iter()
        .filter(|id| found.new_sheets.contains(id))
        .cloned()
        .collect();
    if both.is_empty() {
        return Ok(());
    }
    Err(Failure::refused(
        "reference.one-side",
        format!(
            "{} on both sides, so there is nothing to compare",
            if both.len() == 1 {
                "a sheet stands"
            } else {
                "sheets stand"
            }
        ),
    )
    .details(both)
    .hint("name other sheets with --from-old and --from-new")
    .hint("where both lots ran on the same papers, name the new one's lanes with --new-lanes"))
}

fn both_sides<'a>(
    old: &'a [DyeRuns],
    new: &'a [DyeRuns],
    notes: &mut Vec<String>,
) -> Vec<(&'a DyeRuns, &'a DyeRuns)> {
    let mut pairs = Vec::new();
    for one in old {
        match new.iter().find(|other| other.dye == one.dye) {
            Some(other) => pairs.push((one, other)),
            None => notes.push(format!("{} was not run on the new side.", one.dye)),
        }
    }
    let only_new = new.iter().filter(|n| !old.iter().any(|o| o.dye == n.dye));
    notes.extend(only_new.map(|dye| format!("{} was not run on the old side.", dye.dye)));
    pairs
}

fn notes(old: &KeptMethod, new: &KeptMethod) -> Vec<String> {
    if old.id != new.id {
        return vec![format!(
            "{} and {} are two methods; Rf that agree do not make them one.",
            old.name(),
            new.name()
        )];
    }
    if old.version.major != new.version.major {
        return vec![format!(
            "{} and {} differ in a way that the version rules take to move Rf.",
            old.version, new.version
        )];
    }
    Vec::new()
}

/// The limit asked for, else the usual one, kept below half the smallest like-coloured gap.
fn limit(
    method: &Method,
    dyes: &DyeRegister,
    asked: Option<f64>,
) -> Result<(f64, String), Failure> {
    if let Some(delta) = asked {
        if delta > 0.0 && delta < 1.0 {
            return Ok((delta, "as given with --delta".to_owned()));
        }
        return Err(Failure::refused(
            "reference.bad-limit",
            format!("`{delta}` can't be the difference in Rf that would matter"),
        )
        .hint("give --delta a value above 0 and below 1, e.g. 0.03"));
    }
    let closest = like_coloured(method, dyes)
        .into_iter()
        .find(|pair| pair.gap > 0.0);
    Ok(match closest {
        Some(pair) if pair.gap / 2.0 <= USUAL_LIMIT => (
            SHARE_OF_HALF_GAP * pair.gap / 2.0,
            format!(
                "below half the smallest gap of like colour: {} and {} lie {:.3} apart",
                pair.lower, pair.upper, pair.gap
            ),
        ),
        Some(pair) => (
            USUAL_LIMIT,
            format!(
                "the usual limit, below half the smallest gap of like colour: {} and {} lie {:.3} \
                 apart",
                pair.lower, pair.upper, pair.gap
            ),
        ),
        None => (
            USUAL_LIMIT,
            "the usual limit; no two dyes of the method are of like colour".to_owned(),
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::limit;
    use crate::bundled_documents::METHODS;
    use dyebook_documents::DyeRegister;

    fn method_with(second_rf: f64) -> dyebook_documents::Method {
        let mut document: serde_json::Value = serde_json::from_str(METHODS[0]).unwrap();
        for reference in document["references"].as_array_mut().unwrap() {
            if reference["dye"] == "sunset-yellow-fcf" {
                reference["assigned_rf"] = second_rf.into();
                reference["expected_rf"] =
                    serde_json::json!({"low": second_rf - 0.05, "high": second_rf + 0.05});
            }
        }
        serde_json::from_value(document).unwrap()
    }

    /// Half the smallest like-coloured gap as the job map proposes: Red 40 (0.405) and Yellow 6.
    #[test]
    fn the_limit_stays_below_half_the_smallest_gap() {
        let dyes = DyeRegister::default();
        let (delta, _) = limit(&method_with(0.485), &dyes, None).unwrap();
        assert!((delta - 0.03).abs() < 1e-12);
        let (delta, from) = limit(&method_with(0.445), &dyes, None).unwrap();
        assert!((delta - 0.018).abs() < 1e-9, "{delta} {from}");
        assert!(limit(&method_with(0.485), &dyes, Some(0.0)).is_err());
    }
}
