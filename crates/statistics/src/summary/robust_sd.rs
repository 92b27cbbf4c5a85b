//! A standard deviation that a few wrong values don't move.

use super::{SummaryError, median, require};

/// 1/Φ⁻¹(0.75): makes the median absolute deviation an estimate of the normal standard deviation.
/// Φ⁻¹(0.75) = 0.674489750196081743… (any table of the normal distribution).
const NORMAL_CONSISTENCY: f64 = 1.482_602_218_505_602;

/// Standard deviation from the median absolute deviation.
///
/// # Shape and units
/// At least two finite values; the result has their unit. Up to half of the values may be wrong
/// without carrying it away; it is 0 when more than half of the values are equal.
///
/// # Formula
/// ```text
/// s = median |x_i - median x| / Φ⁻¹(3/4)  =  1.4826 · MAD
/// ```
///
/// No small-sample factor is applied: below about ten values it is some percent low.
///
/// # Errors
/// [`SummaryError::TooFew`] below two values, [`SummaryError::NotFinite`].
///
/// # Source
/// RousseeuwCroux1993, equation 1.2; AMC2001 (Analytical Methods Committee, robust statistics)
///
/// # Examples
/// ```
/// use dyebook_statistics::summary::robust_sd;
/// let clean = robust_sd(&[0.41, 0.42, 0.43, 0.44, 0.45])?;
/// let with_a_slip = robust_sd(&[0.41, 0.42, 0.43, 0.44, 4.5])?;
/// assert!((clean - with_a_slip).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::summary::SummaryError>(())
/// ```
pub fn robust_sd(values: &[f64]) -> Result<f64, SummaryError> {
    require(values, 2)?;
    let centre = median(values)?;
    let deviations: Vec<f64> = values.iter().map(|value| (value - centre).abs()).collect();
    Ok(NORMAL_CONSISTENCY * median(&deviations)?)
}
