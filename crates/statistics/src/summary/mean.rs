//! The arithmetic mean.

use super::{SummaryError, compensated_sum, require};

/// Arithmetic mean, by a compensated sum.
///
/// # Shape and units
/// At least one finite value; the mean has the values' unit.
///
/// # Formula
/// ```text
/// mean = Σ x_i / n
/// ```
///
/// The sum is taken of the differences from the first value. A plain sum of NIST's NumAcc4 (1,001
/// values of 1e7 that differ in the first decimal) reaches 1e10 and loses the digits that differ.
///
/// # Errors
/// [`SummaryError::TooFew`] for an empty series, [`SummaryError::NotFinite`].
///
/// # Source
/// NIST-StRD, univariate summary statistics
///
/// # Examples
/// ```
/// use dyebook_statistics::summary::mean;
/// assert!((mean(&[0.42, 0.40, 0.44])? - 0.42).abs() < 1e-15);
/// # Ok::<(), dyebook_statistics::summary::SummaryError>(())
/// ```
#[expect(
    clippy::cast_precision_loss,
    reason = "a series has far fewer than 2^52 values"
)]
pub fn mean(values: &[f64]) -> Result<f64, SummaryError> {
    require(values, 1)?;
    let pivot = values[0];
    let shifted = compensated_sum(values.iter().map(|value| value - pivot));
    Ok(pivot + shifted / values.len() as f64)
}
