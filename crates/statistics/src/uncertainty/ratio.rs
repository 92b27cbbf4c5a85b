//! Uncertainty of a ratio.

use super::UncertaintyError;
use super::uncertainty_error::not_negative;

/// Standard uncertainty of `a / b`, the two possibly correlated.
///
/// # Shape and units
/// `a`, `b` with standard uncertainties in their units; `b` not 0; `correlation` from -1 to 1.
///
/// # Formula
/// ```text
/// u² = [ u_a² + (a/b)² u_b² - 2 (a/b) r u_a u_b ] / b²
/// ```
///
/// # Errors
/// [`UncertaintyError::OutOfRange`].
///
/// # Source
/// JCGM100, 5.2.2
///
/// # Examples
/// ```
/// use dyebook_statistics::uncertainty::ratio_uncertainty;
/// let u = ratio_uncertainty(3.2, 0.05, 8.0, 0.05, 0.0)?;
/// assert!((u - 0.05 / 8.0 * (1.0_f64 + 0.16).sqrt()).abs() < 1e-15);
/// # Ok::<(), dyebook_statistics::uncertainty::UncertaintyError>(())
/// ```
pub fn ratio_uncertainty(
    a: f64,
    u_a: f64,
    b: f64,
    u_b: f64,
    correlation: f64,
) -> Result<f64, UncertaintyError> {
    let (u_a, u_b) = (
        not_negative("uncertainty", u_a)?,
        not_negative("uncertainty", u_b)?,
    );
    if b == 0.0 || !b.is_finite() || !a.is_finite() {
        return Err(UncertaintyError::OutOfRange {
            what: "divisor",
            value: b,
        });
    }
    if !(-1.0..=1.0).contains(&correlation) {
        return Err(UncertaintyError::OutOfRange {
            what: "correlation",
            value: correlation,
        });
    }
    let ratio = a / b;
    let from_divisor = ratio * u_b;
    let variance = u_a * u_a + from_divisor * from_divisor - 2.0 * correlation * u_a * from_divisor;
    Ok(variance.max(0.0).sqrt() / b.abs())
}

/// Standard uncertainty of `(spot - origin) / (front - origin)` with three independent readings.
///
/// # Shape and units
/// Three positions on one scale and their standard uncertainties, in one unit; the front not at
/// the origin.
///
/// # Formula
/// ```text
/// r = (spot-origin)/(front-origin)    u = √[ u_s² + (1-r)² u_o² + r² u_f² ] / |front-origin|
/// ```
///
/// For a ruler laid on anywhere. Treating the two distances as independent says too much, because
/// an error of the origin moves both.
///
/// # Errors
/// [`UncertaintyError::OutOfRange`].
///
/// # Source
/// JCGM100, 5.1.2 applied to the model above
///
/// # Examples
/// ```
/// use dyebook_statistics::uncertainty::shared_origin_ratio_uncertainty;
/// let u = shared_origin_ratio_uncertainty([42.0, 10.0, 90.0], [0.5, 0.5, 0.5])?;
/// assert!(u < 0.5 / 80.0 * 1.3);
/// # Ok::<(), dyebook_statistics::uncertainty::UncertaintyError>(())
/// ```
pub fn shared_origin_ratio_uncertainty(
    spot_origin_front: [f64; 3],
    uncertainties: [f64; 3],
) -> Result<f64, UncertaintyError> {
    let [spot, origin, front] = spot_origin_front;
    let length = front - origin;
    if length == 0.0 || !length.is_finite() || !spot.is_finite() {
        return Err(UncertaintyError::OutOfRange {
            what: "front distance",
            value: length,
        });
    }
    let ratio = (spot - origin) / length;
    let mut variance = 0.0;
    for (sensitivity, u) in [1.0, ratio - 1.0, -ratio].into_iter().zip(uncertainties) {
        variance += (sensitivity * not_negative("uncertainty", u)?).powi(2);
    }
    Ok(variance.sqrt() / length.abs())
}
