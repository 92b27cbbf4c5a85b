//! Which developing solvent separates which dyes, alone and two together.

use super::one_solvent::{OneSolvent, SpotWidths, one_solvent};
use super::pair::DyePair;
use super::solvent_error::SolventError;
use dyebook_documents::{DyeRegister, Method, Reference};
use dyebook_statistics::planar::{discriminating_power, mean_list_length, pairs_not_separated};
use dyebook_statistics::uncertainty::correlation;
use serde::Serialize;
use std::collections::BTreeMap;

/// What is asked of a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareQuestion {
    /// The dyes; all that every method has where none are named.
    pub dyes: Vec<String>,
    /// Two dyes within this distance in Rf count as not separated.
    pub window: f64,
    /// Spot widths by method version (`id@version`), where they were measured.
    pub widths: BTreeMap<String, SpotWidths>,
}

impl Default for CompareQuestion {
    /// All common dyes, a window of 0.05 (common practice, no source).
    fn default() -> Self {
        Self {
            dyes: Vec::new(),
            window: 0.05,
            widths: BTreeMap::new(),
        }
    }
}

/// How solvents compare.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// The dyes compared: those that every method has.
    pub dyes: Vec<String>,
    /// Dyes left out, with the methods that have no reference of them.
    pub left_out: Vec<LeftOut>,
    /// Two dyes within this distance in Rf count as not separated.
    pub window: f64,
    /// Each method alone, in the order asked.
    pub solvents: Vec<OneSolvent>,
    /// Each pair of methods used together.
    pub together: Vec<TwoSolvents>,
    /// The pair to use together, where more than one method was given.
    pub best_together: Option<[String; 2]>,
    /// What stands out, in sentences.
    pub sentences: Vec<String>,
}

/// A dye left out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// The dye.
    pub dye: String,
    /// Methods without a reference of it.
    pub missing_in: Vec<String>,
}

/// Two methods used together: a pair counts as separated where either separates it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TwoSolvents {
    /// The method versions.
    pub methods: [String; 2],
    /// Correlation of the Rf values; `None` where one of them doesn't vary.
    pub correlation: Option<f64>,
    /// Share of pairs that either separates.
    pub discriminating_power: f64,
    /// Pairs that neither does.
    pub pairs_not_separated: usize,
    /// Mean number of dyes that a spot could be.
    pub mean_list_length: f64,
    /// Dyes that change places.
    pub order_changes: Vec<[String; 2]>,
}

/// Compares developing solvents for a set of dyes.
///
/// # Shape and units
/// Method versions with references; Rf without unit.
///
/// # Formula
/// ```text
/// DP = 1 − 2M/[N(N−1)]      MLL = 1 + 2M/N      M pairs within the window (in all solvents)
/// ```
/// The best pair has the largest DP; of equal ones that with the lowest correlation.
///
/// # Errors
/// [`SolventError`].
///
/// # Source
/// SmalldonMoffat1973 (discriminating power), Schepers1983 (mean list length), Komsta2007
/// (spread indices); formulas in `dyebook-statistics`.
pub fn compare_solvents(
    methods: &[&Method],
    register: &DyeRegister,
    question: &CompareQuestion,
) -> Result<Comparison, SolventError> {
    if methods.is_empty() {
        return Err(SolventError::NoMethod);
    }
    if !(0.0..=1.0).contains(&question.window) {
        return Err(SolventError::BadWindow {
            window: question.window,
        });
    }
    let (dyes, left_out) = common_dyes(methods, &question.dyes)?;
    let no_widths = SpotWidths::new();
    let solvents = methods
        .iter()
        .map(|method| {
            let widths = question.widths.get(&method.name()).unwrap_or(&no_widths);
            one_solvent(method, &dyes, register, question.window, widths)
        })
        .collect::<Result<Vec<_>, _>>()?;
    let mut together = Vec::new();
    for (index, one) in methods.iter().enumerate() {
        for other in &methods[index + 1..] {
            together.push(two_solvents(one, other, &dyes, question.window)?);
        }
    }
    let best = best_together(&together);
    let sentences = sentences(&solvents, &together, best.as_ref());
    Ok(Comparison {
        dyes,
        left_out,
        window: question.window,
        solvents,
        together,
        best_together: best,
        sentences,
    })
}

fn common_dyes(
    methods: &[&Method],
    asked: &[String],
) -> Result<(Vec<String>, Vec<LeftOut>), SolventError> {
    let mut wanted: Vec<String> = if asked.is_empty() {
        let all = methods.iter().flat_map(|m| &m.references);
        all.map(|reference| reference.dye.clone()).collect()
    } else {
        asked.to_vec()
    };
    wanted.sort();
    wanted.dedup();
    let (mut dyes, mut left_out) = (Vec::new(), Vec::new());
    for dye in wanted {
        let missing_in: Vec<String> = methods
            .iter()
            .filter(|method| method.reference(&dye).is_none())
            .map(|method| method.name())
            .collect();
        if missing_in.is_empty() {
            dyes.push(dye);
        } else if missing_in.len() == methods.len() {
            return Err(SolventError::UnknownDye { dye });
        } else {
            left_out.push(LeftOut { dye, missing_in });
        }
    }
    if dyes.len() < 2 {
        return Err(SolventError::TooFewDyes { found: dyes.len() });
    }
    Ok((dyes, left_out))
}

fn two_solvents(
    one: &Method,
    other: &Method,
    dyes: &[String],
    window: f64,
) -> Result<TwoSolvents, SolventError> {
    let rf = |method: &Method| -> Vec<f64> {
        let references = dyes.iter().filter_map(|dye| method.reference(dye));
        references.map(Reference::centre).collect()
    };
    let (a, b) = (rf(one), rf(other));
    let systems: [&[f64]; 2] = [&a, &b];
    let mut order_changes = Vec::new();
    for i in 0..dyes.len() {
        for j in i + 1..dyes.len() {
            if (a[i] - a[j]) * (b[i] - b[j]) < 0.0 {
                order_changes.push([dyes[i].clone(), dyes[j].clone()]);
            }
        }
    }
    Ok(TwoSolvents {
        methods: [one.name(), other.name()],
        correlation: correlation(&a, &b).ok(),
        discriminating_power: discriminating_power(&systems, window)?,
        pairs_not_separated: pairs_not_separated(&systems, window)?,
        mean_list_length: mean_list_length(&systems, window)?,
        order_changes,
    })
}

fn best_together(together: &[TwoSolvents]) -> Option<[String; 2]> {
    let correlation = |two: &TwoSolvents| two.correlation.unwrap_or(1.0).abs();
    together
        .iter()
        .min_by(|a, b| {
            (a.pairs_not_separated.cmp(&b.pairs_not_separated))
                .then_with(|| correlation(a).total_cmp(&correlation(b)))
        })
        .map(|two| two.methods.clone())
}

/// Confusion of more than one spot in twenty is worth a sentence (common practice, no source).
const OFTEN: f64 = 0.05;

fn sentences(
    solvents: &[OneSolvent],
    together: &[TwoSolvents],
    best: Option<&[String; 2]>,
) -> Vec<String> {
    let mut all = Vec::new();
    for solvent in solvents {
        match &solvent.critical_pair_like_coloured {
            Some(worst) => {
                let often = |pair: &&DyePair| {
                    pair.like_coloured && (pair.confusion > OFTEN || pair == &worst)
                };
                let told = solvent.pairs.iter().filter(often);
                all.extend(told.map(|pair| format!("{}: {}", solvent.method, pair.sentence)));
            }
            None => all.push(format!(
                "{}: no two of the dyes look alike; {}",
                solvent.method, solvent.critical_pair.sentence
            )),
        }
    }
    for two in together {
        for [a, b] in &two.order_changes {
            all.push(format!(
                "{a} and {b} change places between {} and {}",
                two.methods[0], two.methods[1]
            ));
        }
    }
    if let Some([a, b]) = best.filter(|_| together.len() > 1) {
        all.push(format!("used together, {a} and {b} separate the most"));
    }
    all
}
