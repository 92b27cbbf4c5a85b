//! RM against composition, straight and logarithmic: both are fitted, the better one is used.

use super::solvent_error::SolventError;
use dyebook_statistics::least_squares::{Line, line};
use dyebook_statistics::planar::{rf_change_per_rm, rf_of_rm, rm_value};
use serde::Serialize;

/// How RM goes with the composition.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RmModel {
    /// `RM = a + b·x`.
    Linear,
    /// `RM = a + b·log10 x`.
    Logarithmic,
}

/// One fitted form.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RmFit {
    /// The form.
    pub model: RmModel,
    /// RM at x = 0 (linear) or x = 1 (logarithmic).
    pub intercept: f64,
    /// Rise of RM.
    pub slope: f64,
    /// Share of the sum of squares that the line explains.
    pub r_squared: f64,
    /// Standard deviation of RM about the line.
    pub residual_sd: f64,
    #[serde(skip)]
    line: Line,
}

/// Both forms; the first is the one used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RmFits {
    /// The form with the smaller residual standard deviation.
    pub chosen: RmFit,
    /// The other one; `None` where a composition of 0 has no logarithm.
    pub other: Option<RmFit>,
}

/// A value read from a fit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ReadFromFit {
    /// The retardation factor.
    pub rf: f64,
    /// Its standard uncertainty from the line and from the scatter about it.
    pub u: f64,
}

/// Only between these does RM say anything: nearer to 0 and 1 a reading error is all there is.
pub const USABLE_RF: std::ops::RangeInclusive<f64> = 0.05..=0.95;

/// Fits RM against composition in both forms.
///
/// # Shape and units
/// Compositions in any one unit, not all equal; retardation factors between 0 and 1; three points
/// at least.
///
/// # Formula
/// ```text
/// RM = log10(1/Rf − 1)       RM = a + b·x       RM = a + b·log10 x
/// ```
/// Unweighted least squares. On 247 and 255 published compounds neither form won everywhere, so
/// both are fitted and the one with the smaller residual standard deviation is used.
///
/// # Errors
/// [`SolventError::Planar`] for an Rf of 0 or 1, [`SolventError::Fit`].
///
/// # Source
/// Soczewinski-XIV (logarithmic form); Xu2022 (data from which the choice is drawn).
pub fn fit_rm(x: &[f64], rf: &[f64]) -> Result<RmFits, SolventError> {
    let rm = rf
        .iter()
        .map(|rf| rm_value(*rf))
        .collect::<Result<Vec<_>, _>>()?;
    let linear = one_form(RmModel::Linear, x, &rm)?;
    if x.iter().any(|x| *x <= 0.0) {
        return Ok(RmFits {
            chosen: linear,
            other: None,
        });
    }
    let logs: Vec<f64> = x.iter().map(|x| x.log10()).collect();
    let logarithmic = one_form(RmModel::Logarithmic, &logs, &rm)?;
    Ok(if logarithmic.residual_sd < linear.residual_sd {
        RmFits {
            chosen: logarithmic,
            other: Some(linear),
        }
    } else {
        RmFits {
            chosen: linear,
            other: Some(logarithmic),
        }
    })
}

fn one_form(model: RmModel, x: &[f64], rm: &[f64]) -> Result<RmFit, SolventError> {
    let line = line(x, rm)?;
    Ok(RmFit {
        model,
        intercept: line.intercept,
        slope: line.slope,
        r_squared: line.r_squared,
        residual_sd: (line.chi_square / line.df).sqrt(),
        line,
    })
}

impl RmFit {
    /// The retardation factor at a composition, with its uncertainty.
    ///
    /// # Errors
    /// [`SolventError::Planar`] where the value runs out of 0 to 1.
    pub fn read(&self, x: f64) -> Result<ReadFromFit, SolventError> {
        let x = match self.model {
            RmModel::Linear => x,
            RmModel::Logarithmic => x.log10(),
        };
        let predicted = self.line.predict(x);
        let rf = rf_of_rm(predicted.value)?;
        let u_rm = predicted.u.hypot(self.residual_sd);
        Ok(ReadFromFit {
            rf,
            u: (rf_change_per_rm(rf)? * u_rm).abs(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{RmModel, USABLE_RF, fit_rm};

    /// Composition, Rf, then a, b, R², s of the linear and of the logarithmic fit.
    type Case = (&'static [f64], &'static [f64], [f64; 4], [f64; 4]);

    /// Fits by ordinary least squares of data published with Xu et al. 2022.
    const CASES: [Case; 2] = [
        (
            &[0.019_608, 0.047_619, 0.166_667, 0.25, 0.5, 0.666_667, 1.0],
            &[
                0.262_708, 0.4102, 0.719_773, 0.794_856, 0.974_462, 0.976_829, 0.980_526,
            ],
            [0.435_299, -4.408_476, 0.953_264, 0.128_002],
            [-1.147_608, -0.952_017, 0.995_356, 0.040_35],
        ),
        (
            &[0.009_901, 0.019_608, 0.032_258, 0.047_619, 0.090_909],
            &[0.429_995, 0.609_942, 0.732_787, 0.814_945, 0.897_801],
            [0.068_99, -12.193_897, 0.894_774, 0.153_292],
            [-2.107_09, -1.115_129, 0.999_594, 0.009_526],
        ),
    ];

    #[test]
    fn both_fits_come_out_as_published() {
        for (x, rf, linear, logarithmic) in CASES {
            let usable: Vec<(f64, f64)> = x
                .iter()
                .copied()
                .zip(rf.iter().copied())
                .filter(|(_, rf)| USABLE_RF.contains(rf))
                .collect();
            let (x, rf): (Vec<f64>, Vec<f64>) = usable.into_iter().unzip();
            let fits = fit_rm(&x, &rf).unwrap();
            assert_eq!(fits.chosen.model, RmModel::Logarithmic);
            for (fit, [a, b, r2, s]) in
                [(&fits.other.unwrap(), linear), (&fits.chosen, logarithmic)]
            {
                assert!((fit.intercept - a).abs() < 3e-6, "{} {a}", fit.intercept);
                assert!((fit.slope - b).abs() < 2e-5, "{} {b}", fit.slope);
                assert!((fit.r_squared - r2).abs() < 3e-6, "{} {r2}", fit.r_squared);
                assert!(
                    (fit.residual_sd - s).abs() < 3e-6,
                    "{} {s}",
                    fit.residual_sd
                );
            }
        }
    }

    #[test]
    fn the_middle_of_rm_is_not_the_middle_of_rf() {
        // RM midpoints (calculated): 0.10 and 0.50 -> 0.250; 0.30 and 0.60 -> 0.445.
        for (low, high, middle) in [
            (0.10, 0.50, 0.250),
            (0.30, 0.60, 0.445),
            (0.60, 0.90, 0.786),
        ] {
            let fits = fit_rm(&[0.0, 1.0, 2.0], &[low, middle, high]).unwrap();
            assert!(fits.other.is_none());
            let read = fits.chosen.read(1.0).unwrap();
            assert!((read.rf - middle).abs() < 5e-4, "{}", read.rf);
        }
    }
}
