//! Expected Rf at a composition between measured ones.

use super::chemistry_flag::chemistry_flag;
use super::measured_liquids::{Measured, apart, axis, measured_liquids};
use super::predict_error::PredictError;
use super::rm_fit::{RmFits, USABLE_RF, fit_rm};
use super::solvent_error::SolventError;
use super::spread::spot_spread;
use crate::composition::{CanonicalComposition, canonical, digits, shown_name, substance_key};
use crate::recipe::amount_and_basis;
use dyebook_documents::{Component, Composition, ExpectedRange, Method};
use serde::Serialize;
use std::collections::BTreeSet;

/// Rf predicted for a composition.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Prediction {
    /// Always `predicted`.
    pub status: &'static str,
    /// What the values may be used for.
    pub note: &'static str,
    /// Identifier of the substance that varies.
    pub axis: String,
    /// How much of it a litre of the composition asked for holds, g/L.
    pub at_g_per_l: f64,
    /// Measured compositions, from the least.
    pub points: Vec<MeasuredPoint>,
    /// Method versions that don't belong on the line, with the reason.
    pub left_out: Vec<String>,
    /// What is in the liquid asked for.
    pub composition: CanonicalComposition,
    /// The dyes, from the start line up.
    pub dyes: Vec<PredictedDye>,
    /// Dyes for which nothing is predicted.
    pub refused: Vec<RefusedDye>,
    /// Dyes whose order is not certain, in sentences.
    pub crossings: Vec<String>,
}

/// A measured composition.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredPoint {
    /// The method version.
    pub method: String,
    /// Content of what varies, g/L.
    pub g_per_l: f64,
}

/// One predicted dye.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PredictedDye {
    /// The dye.
    pub dye: String,
    /// Predicted Rf.
    pub rf: f64,
    /// Predicted range of a spot.
    pub expected: ExpectedRange,
    /// The fits, the one used first.
    pub fits: RmFits,
    /// Standard uncertainty from the line and the scatter about it.
    pub u_fit: f64,
    /// Standard deviation of a spot about its reference, from the measured versions.
    pub spread: f64,
    /// What set the width of the range.
    pub width_from: &'static str,
    /// Measured points used: g/L and Rf.
    pub points: Vec<(f64, f64)>,
}

/// A dye for which nothing is predicted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RefusedDye {
    /// The dye.
    pub dye: String,
    /// Why.
    pub why: String,
}

/// What every prediction says.
const NOTE: &str =
    "predicted, not for identification: run the dyes and replace it by measured values";

/// Least half-width of a predicted range.
///
/// Predicting a middle composition from its neighbours missed by 0.03 to 0.07 Rf (root mean
/// square) in the open data of Xu2022, whichever form was used.
const LEAST_HALF_WIDTH: f64 = 0.06;

/// Points that a line needs to show a lack of fit.
const LEAST_POINTS: usize = 3;

/// Predicts Rf at a composition between measured ones.
///
/// # Shape and units
/// `methods` are measured versions; `at` is the composition asked for. All must differ in one
/// substance alone. Compositions are compared in g/L.
///
/// # Formula
/// ```text
/// RM = a + b·x  and  RM = a + b·log10 x, the one with the smaller residual SD
/// half-width = max(0.06, 2·√(u_fit² + s_spot²), |difference of the two forms|)
/// ```
///
/// # Errors
/// [`PredictError`]: it is never extrapolated, and never from fewer than three compositions.
///
/// # Source
/// Soczewinski-XIV; Xu2022 for the least half-width.
pub fn predict_solvent(methods: &[&Method], at: &Composition) -> Result<Prediction, PredictError> {
    let wanted = canonical(at)?;
    let (measured, mut left_out) = measured_liquids(methods);
    if let Some(same) = measured
        .iter()
        .find(|m| apart(&m.liquid, &wanted).is_empty())
    {
        return Err(PredictError::Measured {
            method: same.method.name(),
        });
    }
    let axis = axis(&measured, &wanted);
    let on_axis = BTreeSet::from([axis.clone()]);
    let (mut points, others): (Vec<&Measured<'_>>, Vec<&Measured<'_>>) = measured
        .iter()
        .partition(|m| apart(&m.liquid, &wanted) == on_axis);
    left_out.extend(others.iter().map(|m| {
        format!(
            "{}: differs in more than {}",
            m.method.name(),
            shown_name(&axis)
        )
    }));
    points.sort_by(|a, b| a.liquid.g_per_l(&axis).total_cmp(&b.liquid.g_per_l(&axis)));
    let x = wanted.g_per_l(&axis);
    check_range(&points, &axis, x)?;
    let (mut dyes, refused) = all_dyes(&points, &wanted, &axis, x)?;
    dyes.sort_by(|a, b| a.rf.total_cmp(&b.rf));
    Ok(Prediction {
        status: "predicted",
        note: NOTE,
        at_g_per_l: x,
        points: points
            .iter()
            .map(|p| MeasuredPoint {
                method: p.method.name(),
                g_per_l: p.liquid.g_per_l(&axis),
            })
            .collect(),
        crossings: crossings(&dyes, x),
        left_out,
        composition: wanted,
        dyes,
        refused,
        axis,
    })
}

/// The dyes that can be predicted, and those that can't.
fn all_dyes(
    points: &[&Measured<'_>],
    wanted: &CanonicalComposition,
    axis: &str,
    x: f64,
) -> Result<(Vec<PredictedDye>, Vec<RefusedDye>), PredictError> {
    let (mut dyes, mut refused) = (Vec::new(), Vec::new());
    let names: BTreeSet<&str> = points
        .iter()
        .flat_map(|p| p.method.references.iter().map(|r| r.dye.as_str()))
        .collect();
    for dye in names {
        match one_dye(dye, points, wanted, axis, x)? {
            Ok(predicted) => dyes.push(predicted),
            Err(why) => refused.push(RefusedDye {
                dye: dye.to_owned(),
                why,
            }),
        }
    }
    if dyes.is_empty() {
        let reasons: Vec<String> = refused
            .iter()
            .map(|r| format!("{}: {}", r.dye, r.why))
            .collect();
        return Err(PredictError::NoDye {
            reasons: reasons.join("; "),
        });
    }
    Ok((dyes, refused))
}

/// A composition with the amount of one component changed, from `sodium chloride = 2 % w/v`.
///
/// # Errors
/// [`PredictError::BadAmount`].
pub fn with_amount(base: &Composition, text: &str) -> Result<Composition, PredictError> {
    let bad = |why: &str| PredictError::BadAmount {
        text: text.to_owned(),
        why: why.to_owned(),
    };
    let (name, amount) = text
        .split_once('=')
        .ok_or_else(|| bad("there is no `=` in it"))?;
    let (amount, basis) = amount_and_basis(amount)
        .ok_or_else(|| bad("after the `=` stands an amount with its basis"))?;
    let key = substance_key(name.trim());
    let mut changed = base.clone();
    let mut found = changed
        .components
        .iter_mut()
        .filter(|c| substance_key(&c.substance) == key && c.make_up_to_volume != Some(true));
    let component: &mut Component = found
        .next()
        .ok_or_else(|| bad("the method has no such component"))?;
    component.amount = Some(amount);
    component.basis = Some(basis);
    component.tolerance = None;
    Ok(changed)
}

fn check_range(points: &[&Measured<'_>], axis: &str, x: f64) -> Result<(), PredictError> {
    let name = shown_name(axis);
    let contents: Vec<f64> = points.iter().map(|p| p.liquid.g_per_l(axis)).collect();
    if let (Some(low), Some(high)) = (contents.first(), contents.last())
        && contents.len() >= LEAST_POINTS
    {
        if *low < x && x < *high {
            return Ok(());
        }
        return Err(PredictError::Extrapolation {
            axis: name,
            at: digits(x),
            low: digits(*low),
            high: digits(*high),
        });
    }
    Err(PredictError::TooFewCompositions {
        axis: name,
        found: contents.len(),
    })
}

fn one_dye(
    dye: &str,
    points: &[&Measured<'_>],
    wanted: &CanonicalComposition,
    axis: &str,
    x: f64,
) -> Result<Result<PredictedDye, String>, SolventError> {
    let mut liquids: Vec<&CanonicalComposition> = points.iter().map(|p| &p.liquid).collect();
    liquids.push(wanted);
    let here = points
        .iter()
        .filter_map(|p| Some((p, p.method.reference(dye)?)));
    let mut used = Vec::new();
    let mut variances = Vec::new();
    for (point, reference) in here {
        if let Some(why) = chemistry_flag(reference, &liquids) {
            return Ok(Err(why));
        }
        if USABLE_RF.contains(&reference.centre()) {
            used.push((point.liquid.g_per_l(axis), reference.centre()));
            variances.push(spot_spread(reference).library.powi(2));
        }
    }
    if used.len() < LEAST_POINTS {
        return Ok(Err(format!(
            "{} usable points between Rf 0.05 and 0.95, and at least {LEAST_POINTS} are needed",
            used.len()
        )));
    }
    if !(used.iter().any(|p| p.0 < x) && used.iter().any(|p| p.0 > x)) {
        return Ok(Err(
            "its usable points lie on one side of the composition asked for".to_owned(),
        ));
    }
    #[expect(clippy::cast_precision_loss, reason = "few points")]
    let spread = (variances.iter().sum::<f64>() / variances.len() as f64).sqrt();
    let (at, rf): (Vec<f64>, Vec<f64>) = used.iter().copied().unzip();
    widened(dye, fit_rm(&at, &rf)?, spread, used, x).map(Ok)
}

fn widened(
    dye: &str,
    fits: RmFits,
    spread: f64,
    points: Vec<(f64, f64)>,
    x: f64,
) -> Result<PredictedDye, SolventError> {
    let read = fits.chosen.read(x)?;
    let between_forms = match &fits.other {
        Some(other) => (other.read(x)?.rf - read.rf).abs(),
        None => 0.0,
    };
    let (half_width, width_from) = [
        (
            LEAST_HALF_WIDTH,
            "usual error of predicting between neighbours",
        ),
        (
            2.0 * read.u.hypot(spread),
            "lack of fit and spread of the spots",
        ),
        (between_forms, "difference of the two forms"),
    ]
    .into_iter()
    .fold(
        (0.0, ""),
        |widest, next| if next.0 > widest.0 { next } else { widest },
    );
    Ok(PredictedDye {
        dye: dye.to_owned(),
        rf: read.rf,
        expected: ExpectedRange {
            low: (read.rf - half_width).max(0.0),
            high: (read.rf + half_width).min(1.0),
        },
        fits,
        u_fit: read.u,
        spread,
        width_from,
        points,
    })
}

/// Pairs whose order below and above the composition differs.
fn crossings(dyes: &[PredictedDye], x: f64) -> Vec<String> {
    let nearest = |dye: &PredictedDye| {
        let below = dye
            .points
            .iter()
            .filter(|p| p.0 < x)
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let above = dye
            .points
            .iter()
            .filter(|p| p.0 > x)
            .min_by(|a, b| a.0.total_cmp(&b.0));
        below.map(|p| p.1).zip(above.map(|p| p.1))
    };
    let mut all = Vec::new();
    for (index, one) in dyes.iter().enumerate() {
        for other in &dyes[index + 1..] {
            if let (Some(a), Some(b)) = (nearest(one), nearest(other))
                && (a.0 - b.0) * (a.1 - b.1) < 0.0
            {
                all.push(format!(
                    "{} and {} change places between the neighbouring compositions: their order here is not certain",
                    one.dye, other.dye
                ));
            }
        }
    }
    all
}
