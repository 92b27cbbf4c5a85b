//! The sample standard deviation.

use super::{SummaryError, compensated_sum, mean, require};

/// Sample standard deviation, in two passes with a correction of the mean's own rounding.
///
/// # Shape and units
/// At least two finite values; the result has their unit.
///
/// # Formula
/// ```text
/// s² = [ Σ (x_i - m)²  -  (Σ (x_i - m))² / n ] / (n - 1)
/// ```
///
/// `m` is the mean as computed, so the second term is what its rounding leaves. The textbook
/// one-pass form `Σx² - (Σx)²/n` gives 0 or a negative number on NIST's NumAcc4 (mean 10,000,000.2,
/// SD 0.1). What stays is the data's own rounding: about 8 digits on NumAcc4, 9 on NumAcc3.
///
/// # Errors
/// [`SummaryError::TooFew`] below two values, [`SummaryError::NotFinite`].
///
/// # Source
/// ChanGolubLeVeque1983, equation 1.7 (corrected two-pass); checked against NIST-StRD
///
/// # Examples
/// ```
/// use dyebook_statistics::summary::standard_deviation;
/// // three red spots of one published class table: 0.89, 0.99, 0.97
/// assert!((standard_deviation(&[0.89, 0.99, 0.97])? - 0.0529).abs() < 1e-4);
/// # Ok::<(), dyebook_statistics::summary::SummaryError>(())
/// ```
#[expect(
    clippy::cast_precision_loss,
    reason = "a series has far fewer than 2^52 values"
)]
pub fn standard_deviation(values: &[f64]) -> Result<f64, SummaryError> {
    require(values, 2)?;
    let centre = mean(values)?;
    let n = values.len() as f64;
    let squares = compensated_sum(values.iter().map(|value| (value - centre).powi(2)));
    let left_over = compensated_sum(values.iter().map(|value| value - centre));
    Ok(((squares - left_over * left_over / n) / (n - 1.0))
        .max(0.0)
        .sqrt())
}
