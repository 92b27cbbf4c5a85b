//! The factor for one future value.

use super::IntervalError;
use super::interval_error::at_least;
use crate::distribution::student_t_quantile;

/// Factor `k` so that `mean ± k·s` holds one future value with the probability asked for.
///
/// # Shape and units
/// `n` independent values behind mean and SD, at least 2; `level` strictly between 0 and 1.
///
/// # Formula
/// ```text
/// k = t((1 + level)/2, n-1) · √(1 + 1/n)
/// ```
///
/// Exact for independent normal values; for nested ones use
/// [`crate::variance_components::future_spot`].
///
/// # Errors
/// [`IntervalError::TooFew`], [`IntervalError::Distribution`].
///
/// # Source
/// MeekerHahnEscobar2017, 4.7
///
/// # Examples
/// ```
/// use dyebook_statistics::intervals::prediction_factor;
/// assert!((prediction_factor(3.0, 0.95)? - 4.97).abs() < 5e-3);
/// # Ok::<(), dyebook_statistics::intervals::IntervalError>(())
/// ```
pub fn prediction_factor(n: f64, level: f64) -> Result<f64, IntervalError> {
    let n = at_least(2.0, n)?;
    Ok(student_t_quantile(f64::midpoint(1.0, level), n - 1.0)? * (1.0 + 1.0 / n).sqrt())
}
