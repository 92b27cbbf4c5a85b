//! The standard normal distribution.

use std::f64::consts::{PI, SQRT_2};

use statrs::function::erf::{erfc, erfc_inv};

use super::DistributionError;
use super::distribution_error::probability;

/// Standard normal distribution function Φ.
///
/// # Shape and units
/// Any number; NaN gives NaN.
///
/// # Formula
/// ```text
/// Φ(x) = erfc(-x/√2) / 2
/// ```
///
/// Relative error about 1e-15 down to Φ(-37), where it leaves the range of doubles.
///
/// # Source
/// AbramowitzStegun1964, 26.2.29 and 7.1.2
///
/// # Examples
/// ```
/// use dyebook_statistics::distribution::normal_cdf;
/// assert!((normal_cdf(1.96) - 0.975).abs() < 1e-4);
/// ```
pub fn normal_cdf(x: f64) -> f64 {
    erfc(-x / SQRT_2) / 2.0
}

/// Quantile of the standard normal distribution.
///
/// # Shape and units
/// A probability strictly between 0 and 1.
///
/// # Formula
/// ```text
/// Φ(z) = p
/// ```
///
/// `statrs`' inverse of erfc, then one Newton step on Φ taken on the nearer tail.
///
/// # Errors
/// [`DistributionError::Probability`].
///
/// # Source
/// AbramowitzStegun1964, 26.2.2
///
/// # Examples
/// ```
/// use dyebook_statistics::distribution::normal_quantile;
/// assert!((normal_quantile(0.975)? - 1.959964).abs() < 1e-6);
/// # Ok::<(), dyebook_statistics::distribution::DistributionError>(())
/// ```
pub fn normal_quantile(p: f64) -> Result<f64, DistributionError> {
    let p = probability(p)?;
    if p > 0.5 {
        // 1 - p is exact for p in [0.5, 1]
        return Ok(-lower_quantile(1.0 - p));
    }
    Ok(lower_quantile(p))
}

fn lower_quantile(p: f64) -> f64 {
    let z = -SQRT_2 * erfc_inv(2.0 * p);
    let density = (-z * z / 2.0).exp() / (2.0 * PI).sqrt();
    if density > 0.0 {
        z - (normal_cdf(z) - p) / density
    } else {
        z
    }
}
