//! A spot's travel compared with a co-run standard's.

use super::PlanarError;
use super::planar_error::{finite, positive};

/// Relative retardation: travel of a spot over the travel of a standard on the same paper.
///
/// # Shape and units
/// Two distances in one unit, or two retardation factors of one front; the front cancels.
/// The standard's is above 0.
///
/// # Formula
/// ```text
/// Rrel = Rf(i) / Rf(st) = d_i / d_st
/// ```
///
/// # Errors
/// [`PlanarError::NotPositive`] for the standard, [`PlanarError::NotFinite`].
///
/// # Source
/// IUPAC1993, p. 845 (Gold Book R05276)
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::relative_retardation;
/// assert_eq!(relative_retardation(2.0, 4.0)?, 0.5);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn relative_retardation(spot: f64, standard: f64) -> Result<f64, PlanarError> {
    Ok(finite("spot distance", spot)? / positive("standard's distance", standard)?)
}
