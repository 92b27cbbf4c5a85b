//! Student's t distribution.

use std::f64::consts::PI;

use statrs::function::beta::checked_beta_reg;
use statrs::function::gamma::ln_gamma;

use super::DistributionError;
use super::distribution_error::{degrees_of_freedom, probability};
use super::normal::{normal_cdf, normal_quantile};
use crate::numerics::root_of_falling;

/// Above this many degrees of freedom t and the normal distribution differ by less than 1e-10.
const NORMAL_FROM: f64 = 1e10;

/// Upper tail of |t|: P(T > x) for x ≥ 0.
fn upper_tail(x: f64, df: f64) -> f64 {
    let share = df / (df + x * x);
    // the regularised incomplete beta is defined for every share in [0, 1]
    checked_beta_reg(df / 2.0, 0.5, share).unwrap_or(f64::NAN) / 2.0
}

/// Distribution function of Student's t.
///
/// # Shape and units
/// Any number; `df` above 0, whole or not.
///
/// # Formula
/// ```text
/// P(T ≤ x) = I_{ν/(ν+x²)}(ν/2, 1/2) / 2     x ≤ 0,    1 - P(T ≤ -x) else
/// ```
///
/// # Errors
/// [`DistributionError::DegreesOfFreedom`].
///
/// # Source
/// AbramowitzStegun1964, 26.7.1 with 26.5.27
///
/// # Examples
/// ```
/// use dyebook_statistics::distribution::student_t_cdf;
/// assert!((student_t_cdf(4.302652729749462, 2.0)? - 0.975).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::distribution::DistributionError>(())
/// ```
pub fn student_t_cdf(x: f64, df: f64) -> Result<f64, DistributionError> {
    if df > NORMAL_FROM {
        return Ok(normal_cdf(x));
    }
    let tail = upper_tail(x, degrees_of_freedom(df)?);
    Ok(if x <= 0.0 { tail } else { 1.0 - tail })
}

/// Quantile of Student's t.
///
/// # Shape and units
/// A probability strictly between 0 and 1; `df` above 0, whole or not.
///
/// # Formula
/// ```text
/// P(T ≤ t) = p
/// ```
///
/// Root of the tail's logarithm, so 1e-9 is as exact as 0.05. Above 1e10 degrees of freedom the
/// normal quantile.
///
/// # Errors
/// [`DistributionError::Probability`], [`DistributionError::DegreesOfFreedom`].
///
/// # Source
/// AbramowitzStegun1964, 26.7
///
/// # Examples
/// ```
/// use dyebook_statistics::distribution::student_t_quantile;
/// // two degrees of freedom: the price of three sessions
/// assert!((student_t_quantile(0.975, 2.0)? - 4.302652729749462).abs() < 1e-11);
/// # Ok::<(), dyebook_statistics::distribution::DistributionError>(())
/// ```
#[expect(clippy::float_cmp, reason = "the median is exactly 0")]
pub fn student_t_quantile(p: f64, df: f64) -> Result<f64, DistributionError> {
    let p = probability(p)?;
    if df > NORMAL_FROM {
        return normal_quantile(p);
    }
    let df = degrees_of_freedom(df)?;
    if p == 0.5 {
        return Ok(0.0);
    }
    let tail = p.min(1.0 - p);
    let t = root_of_falling(|x| upper_tail(x, df).ln() - tail.ln(), 1.0);
    Ok(if p < 0.5 { -t } else { t })
}

/// Logarithm of the density of Student's t.
///
/// # Shape and units
/// Any number; `df` above 0. In natural logarithm; for a t with centre and scale, subtract
/// `ln scale` and pass the standardised argument.
///
/// # Formula
/// ```text
/// ln f(x) = lnΓ((ν+1)/2) - lnΓ(ν/2) - ln(νπ)/2 - (ν+1)/2 · ln(1 + x²/ν)
/// ```
///
/// # Errors
/// [`DistributionError::DegreesOfFreedom`].
///
/// # Source
/// AbramowitzStegun1964, 26.7.2 (ν = 1 is the Cauchy distribution, density 1/[π(1+x²)])
///
/// # Examples
/// ```
/// use dyebook_statistics::distribution::student_t_log_density;
/// let cauchy_at_one = student_t_log_density(1.0, 1.0)?.exp();
/// assert!((cauchy_at_one - 0.5 / std::f64::consts::PI).abs() < 1e-14);
/// # Ok::<(), dyebook_statistics::distribution::DistributionError>(())
/// ```
pub fn student_t_log_density(x: f64, df: f64) -> Result<f64, DistributionError> {
    if df > NORMAL_FROM {
        return Ok(-x * x / 2.0 - (2.0 * PI).ln() / 2.0);
    }
    let df = degrees_of_freedom(df)?;
    let half = f64::midpoint(df, 1.0);
    Ok(ln_gamma(half) - ln_gamma(df / 2.0) - (df * PI).ln() / 2.0 - half * (x * x / df).ln_1p())
}
