//! The F distribution.

use statrs::function::beta::checked_beta_reg;

use super::DistributionError;
use super::distribution_error::{degrees_of_freedom, not_negative, probability};
use crate::numerics::root_of_falling;

/// Upper tail of the F distribution.
///
/// # Shape and units
/// `x` not below 0; both degrees of freedom above 0, whole or not.
///
/// # Formula
/// ```text
/// P(F > x) = I_{ν2/(ν2+ν1·x)}(ν2/2, ν1/2)
/// ```
///
/// # Errors
/// [`DistributionError::Argument`], [`DistributionError::DegreesOfFreedom`].
///
/// # Source
/// AbramowitzStegun1964, 26.6.2 with 26.5.28
///
/// # Examples
/// ```
/// use dyebook_statistics::distribution::f_survival;
/// assert!((f_survival(10.127964486013925, 1.0, 3.0)? - 0.05).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::distribution::DistributionError>(())
/// ```
pub fn f_survival(x: f64, df1: f64, df2: f64) -> Result<f64, DistributionError> {
    let x = not_negative(x)?;
    Ok(survival(
        x,
        degrees_of_freedom(df1)?,
        degrees_of_freedom(df2)?,
    ))
}

fn survival(x: f64, df1: f64, df2: f64) -> f64 {
    checked_beta_reg(df2 / 2.0, df1 / 2.0, df2 / (df2 + df1 * x)).unwrap_or(f64::NAN)
}

/// Quantile of the F distribution.
///
/// # Shape and units
/// A probability strictly between 0 and 1; both degrees of freedom above 0, whole or not.
///
/// # Formula
/// ```text
/// P(F ≤ x) = p;    for p < 1/2 by  F_p(ν1, ν2) = 1 / F_{1-p}(ν2, ν1)
/// ```
///
/// # Errors
/// [`DistributionError::Probability`], [`DistributionError::DegreesOfFreedom`].
///
/// # Source
/// AbramowitzStegun1964, 26.6.9
///
/// # Examples
/// ```
/// use dyebook_statistics::distribution::f_quantile;
/// assert!((f_quantile(0.95, 1.0, 3.0)? - 10.127964486013925).abs() < 1e-9);
/// # Ok::<(), dyebook_statistics::distribution::DistributionError>(())
/// ```
pub fn f_quantile(p: f64, df1: f64, df2: f64) -> Result<f64, DistributionError> {
    let p = probability(p)?;
    let (df1, df2) = (degrees_of_freedom(df1)?, degrees_of_freedom(df2)?);
    Ok(if p < 0.5 {
        1.0 / root_of_falling(|x| survival(x, df2, df1).ln() - p.ln(), 1.0)
    } else {
        root_of_falling(|x| survival(x, df1, df2).ln() - (1.0 - p).ln(), 1.0)
    })
}
