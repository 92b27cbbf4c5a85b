//! The risk that a spot falls on the wrong side of the middle between two dyes.

use super::PlanarError;
use super::planar_error::{not_negative, positive};
use crate::distribution::normal_cdf;

/// Probability that one spot falls nearer to the wrong one of two dyes.
///
/// # Shape and units
/// Gap between the two expected values and standard deviation of the spot about its own, in one
/// unit; the gap not below 0, the deviation above 0.
///
/// # Formula
/// ```text
/// P = Φ( -gap / (2 s) )
/// ```
///
/// # Errors
/// [`PlanarError::Negative`], [`PlanarError::NotPositive`], [`PlanarError::NotFinite`].
///
/// # Source
/// AbramowitzStegun1964, 26.2 (normal tail beyond the midpoint)
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::wrong_side_risk;
/// assert!((wrong_side_risk(0.05, 0.03)? - 0.202).abs() < 1e-3);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn wrong_side_risk(gap: f64, sd: f64) -> Result<f64, PlanarError> {
    Ok(normal_cdf(
        -not_negative("gap", gap)? / (2.0 * positive("standard deviation", sd)?),
    ))
}
