//! Standard uncertainty of a quantity known only to lie inside limits.

use super::UncertaintyError;
use super::uncertainty_error::not_negative;

/// How probability lies between two limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Equally likely everywhere between the limits.
    Uniform,
    /// Most likely in the middle, falling to 0 at the limits.
    Triangular,
    /// Most likely at the limits, as of something that swings.
    Arcsine,
}

/// Standard uncertainty from the half-width of the limits.
///
/// # Shape and units
/// Half-width not below 0; the result has its unit. A ruler read to whole steps has a uniform
/// error of half a step.
///
/// # Formula
/// ```text
/// uniform a/√3      triangular a/√6      arcsine a/√2
/// ```
///
/// # Errors
/// [`UncertaintyError::OutOfRange`].
///
/// # Source
/// JCGM100, 4.3.7, 4.3.9 and F.2.2.1
///
/// # Examples
/// ```
/// use dyebook_statistics::uncertainty::{Shape, half_width_uncertainty};
/// let millimetre_ruler = half_width_uncertainty(Shape::Uniform, 0.5)?;
/// assert!((millimetre_ruler - 0.2887).abs() < 1e-4);
/// # Ok::<(), dyebook_statistics::uncertainty::UncertaintyError>(())
/// ```
pub fn half_width_uncertainty(shape: Shape, half_width: f64) -> Result<f64, UncertaintyError> {
    let divisor: f64 = match shape {
        Shape::Uniform => 3.0,
        Shape::Triangular => 6.0,
        Shape::Arcsine => 2.0,
    };
    Ok(not_negative("half-width", half_width)? / divisor.sqrt())
}
