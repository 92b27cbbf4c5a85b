//! One-sided tolerance factors of a normal population.

use std::f64::consts::PI;

use super::IntervalError;
use super::interval_error::at_least;
use crate::distribution::chi_square_survival_unchecked as survival;
use crate::distribution::{normal_cdf, normal_quantile, probability};
use crate::numerics::{integrate, root_between};

/// Exact factor `k` so that at least the stated share of a normal population lies below
/// `mean + k·s`, with the stated confidence.
///
/// # Shape and units
/// `n` values behind mean and SD, at least 2; `coverage` and `confidence` strictly between 0 and 1.
///
/// # Formula
/// ```text
/// k = t'(confidence; ν = n-1, δ = z(coverage)·√n) / √n          t' the non-central Student t
/// P(t' ≤ x) = Φ(-δ) + ∫_{-δ}^∞ φ(z) P( χ²_ν ≥ ν ((z+δ)/x)² ) dz      for x > 0
/// ```
///
/// By quadrature, as `statrs` has no non-central t. Relative error below 1e-8. The factor is
/// negative for small coverage at small confidence; such questions are answered too.
///
/// # Errors
/// [`IntervalError::TooFew`], [`IntervalError::Distribution`].
///
/// # Source
/// NIST-Handbook, 7.2.6.3
///
/// # Examples
/// ```
/// use dyebook_statistics::intervals::one_sided_tolerance_factor;
/// assert!((one_sided_tolerance_factor(43.0, 0.90, 0.99)? - 1.8740).abs() < 1e-4);
/// # Ok::<(), dyebook_statistics::intervals::IntervalError>(())
/// ```
pub fn one_sided_tolerance_factor(
    n: f64,
    coverage: f64,
    confidence: f64,
) -> Result<f64, IntervalError> {
    let (n, confidence) = (at_least(2.0, n)?, probability(confidence)?);
    let (df, delta) = (n - 1.0, normal_quantile(probability(coverage)?)? * n.sqrt());
    let excess = |x: f64| noncentral_t_cdf(x, df, delta) - confidence;
    let (mut low, mut high) = (delta - 1.0, delta + 1.0);
    while excess(low) > 0.0 {
        low = delta - 2.0 * (delta - low);
    }
    while excess(high) < 0.0 {
        high = delta + 2.0 * (high - delta);
    }
    Ok(root_between(excess, low, high) / n.sqrt())
}

/// P(t' ≤ x) of the non-central t; for x < 0 by P(t'_δ ≤ x) = 1 - P(t'_{-δ} ≤ -x).
fn noncentral_t_cdf(x: f64, df: f64, delta: f64) -> f64 {
    if x < 0.0 {
        return 1.0 - noncentral_t_cdf(-x, df, -delta);
    }
    if x == 0.0 {
        return normal_cdf(-delta);
    }
    // the integrand falls from φ(-δ) at the lower limit; below -9 the normal curve is empty
    let low = (-delta).max(-9.0);
    if low >= 9.0 {
        return normal_cdf(-delta);
    }
    let density = |z: f64| (-z * z / 2.0).exp() / (2.0 * PI).sqrt();
    let tail = integrate(low, 9.0, 12, |z| {
        density(z) * survival(df * ((z + delta) / x).powi(2), df)
    });
    normal_cdf(-delta) + tail
}

/// Natrella's closed form of the one-sided tolerance factor.
///
/// # Shape and units
/// As for [`one_sided_tolerance_factor`].
///
/// # Formula
/// ```text
/// a = 1 - z_γ² / [2(n-1)]    b = z_P² - z_γ²/n    k = [ z_P + √(z_P² - a b) ] / a
/// ```
///
/// For comparison with older sheets only: 20 % high at n = 6 (90/99).
///
/// # Errors
/// [`IntervalError::TooFew`], [`IntervalError::Distribution`], [`IntervalError::NoAnswer`] where
/// `a` or the root is not above 0.
///
/// # Source
/// NIST-Handbook, 7.2.6.3 (Natrella 1963)
///
/// # Examples
/// ```
/// use dyebook_statistics::intervals::natrella_tolerance_factor;
/// assert!((natrella_tolerance_factor(43.0, 0.90, 0.99)? - 1.8752).abs() < 1e-4);
/// # Ok::<(), dyebook_statistics::intervals::IntervalError>(())
/// ```
pub fn natrella_tolerance_factor(
    n: f64,
    coverage: f64,
    confidence: f64,
) -> Result<f64, IntervalError> {
    let n = at_least(2.0, n)?;
    let (z_p, z_c) = (normal_quantile(coverage)?, normal_quantile(confidence)?);
    let a = 1.0 - z_c * z_c / (2.0 * (n - 1.0));
    let b = z_p * z_p - z_c * z_c / n;
    let inside = z_p * z_p - a * b;
    if a <= 0.0 || inside < 0.0 {
        return Err(IntervalError::NoAnswer);
    }
    Ok((z_p + inside.sqrt()) / a)
}
