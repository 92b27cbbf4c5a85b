//! Which model explains the standards, if any does so clearly better than "nothing wrong".

use super::SIGNATURES;
use super::model::{Fit, Model, Remedy};
use super::standards::Standards;
use crate::known_spots::MOST_STANDARDS;

/// By how much (in natural logarithm of the odds) a mistake must explain the values better than
/// nothing wrong. Found by simulation: clean sheets reach it in less than 1 % of cases.
pub(crate) const CLEARLY: f64 = 3.0;
/// From here on a habit is worth a remark: a small one, such as measuring to the rim of the spots,
/// shows no better on a single paper. Clean sheets reach it in about 3 % of cases.
pub(crate) const FAINTLY: f64 = 1.0;
/// Models this near to the best one explain the values about as well.
const NEARLY: f64 = 3.0;
/// A habit needs so many standards, and so much of the scale between the lowest and the highest:
/// else a factor, an offset and an edge look the same.
const HABIT_STANDARDS: usize = 4;
const HABIT_REACH: f64 = 0.3;
/// Exchanged lanes need a third standard that stands right.
const OTHER_STANDARDS: usize = 3;
/// Fewer tell of nothing.
pub(crate) const LEAST_STANDARDS: usize = OTHER_STANDARDS;

/// The model that explains the standards.
#[derive(Debug, Clone)]
pub(crate) struct Diagnosis {
    pub(crate) model: &'static Model,
    pub(crate) fit: Fit,
    /// Logarithm of the odds against nothing wrong.
    pub(crate) gain: f64,
    /// Other models that explain them about as well, with how much less.
    pub(crate) others: Vec<(&'static Model, Fit, f64)>,
}

/// The mistake that explains the standards, if one does clearly better than nothing wrong and
/// better than one stray value. `habits` only: for standards of several papers.
pub(crate) fn diagnose(standards: &Standards<'_>, habits: bool) -> Option<Diagnosis> {
    if standards.len() > MOST_STANDARDS {
        return None;
    }
    let enough_for_habit = standards.len() >= HABIT_STANDARDS && standards.reach() >= HABIT_REACH;
    let enough = standards.len() >= OTHER_STANDARDS;
    let fit = |model: &'static Model| Some((model, (model.fit)(standards)?));
    let is_stray = |model: &&Model| model.id == super::stray_value::MODEL.id;
    let tried = SIGNATURES.iter().filter(|model| {
        if model.habit {
            enough_for_habit
        } else {
            enough && !habits && !is_stray(model)
        }
    });
    let mut fits: Vec<(&'static Model, Fit)> = tried.filter_map(fit).collect();
    let nothing = standards.nothing_wrong();
    let is_too_little = |(model, fit): &(&Model, Fit)| {
        fit.evidence - nothing < if model.habit { FAINTLY } else { CLEARLY }
    };
    // A stray value is not told of here; it only keeps others from being told.
    if fits.iter().all(is_too_little) {
        return None;
    }
    let stray = SIGNATURES.iter().filter(|model| enough && is_stray(model));
    fits.extend(stray.filter_map(fit));
    fits.sort_by(|a, b| {
        let order = b.1.evidence.total_cmp(&a.1.evidence);
        order.then_with(|| a.0.id.cmp(b.0.id))
    });
    let best = fits.remove(0);
    if is_too_little(&best) || matches!(best.1.remedy, Remedy::Stray { .. }) {
        return None;
    }
    let (model, fit) = best;
    let gain = fit.evidence - nothing;
    let others = fits
        .into_iter()
        .map(|(other, of)| (fit.evidence - of.evidence, other, of))
        .filter(|(less, _, of)| *less <= NEARLY && of.evidence - nothing >= FAINTLY)
        .map(|(less, other, of)| (other, of, less))
        .collect();
    Some(Diagnosis {
        model,
        fit,
        gain,
        others,
    })
}
