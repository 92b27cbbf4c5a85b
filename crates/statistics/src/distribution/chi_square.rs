//! The chi-square distribution.

use statrs::function::gamma::{checked_gamma_lr, checked_gamma_ur};

use super::DistributionError;
use super::distribution_error::{degrees_of_freedom, not_negative, probability};
use crate::numerics::root_of_falling;

/// Upper tail of the chi-square distribution.
///
/// # Shape and units
/// `x` not below 0; `df` above 0, whole or not.
///
/// # Formula
/// ```text
/// P(χ² > x) = Q(ν/2, x/2)          Q the regularised upper incomplete gamma function
/// ```
///
/// # Errors
/// [`DistributionError::Argument`], [`DistributionError::DegreesOfFreedom`].
///
/// # Source
/// AbramowitzStegun1964, 26.4.2 and 26.4.19
///
/// # Examples
/// ```
/// use dyebook_statistics::distribution::chi_square_survival;
/// assert!((chi_square_survival(2.0, 2.0)? - (-1.0_f64).exp()).abs() < 1e-15);
/// # Ok::<(), dyebook_statistics::distribution::DistributionError>(())
/// ```
pub fn chi_square_survival(x: f64, df: f64) -> Result<f64, DistributionError> {
    let (x, df) = (not_negative(x)?, degrees_of_freedom(df)?);
    Ok(survival(x, df))
}

/// The same without checks, for use inside integrals.
pub(crate) fn survival(x: f64, df: f64) -> f64 {
    if x <= 0.0 {
        1.0
    } else if x.is_infinite() {
        0.0
    } else {
        checked_gamma_ur(df / 2.0, x / 2.0).unwrap_or(f64::NAN)
    }
}

/// Quantile of the chi-square distribution.
///
/// # Shape and units
/// A probability strictly between 0 and 1; `df` above 0, whole or not.
///
/// # Formula
/// ```text
/// P(χ² ≤ x) = p
/// ```
///
/// Root of the logarithm of the smaller tail.
///
/// # Errors
/// [`DistributionError::Probability`], [`DistributionError::DegreesOfFreedom`].
///
/// # Source
/// AbramowitzStegun1964, 26.4
///
/// # Examples
/// ```
/// use dyebook_statistics::distribution::chi_square_quantile;
/// // printed as 23.650 in the NIST handbook, 7.2.6.3
/// assert!((chi_square_quantile(0.01, 42.0)? - 23.650).abs() < 1e-3);
/// # Ok::<(), dyebook_statistics::distribution::DistributionError>(())
/// ```
pub fn chi_square_quantile(p: f64, df: f64) -> Result<f64, DistributionError> {
    let (p, df) = (probability(p)?, degrees_of_freedom(df)?);
    Ok(if p < 0.5 {
        root_of_falling(
            |x| p.ln() - checked_gamma_lr(df / 2.0, x / 2.0).unwrap_or(f64::NAN).ln(),
            df,
        )
    } else {
        root_of_falling(|x| survival(x, df).ln() - (1.0 - p).ln(), df)
    })
}
