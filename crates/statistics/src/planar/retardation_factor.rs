//! How far a spot has gone, as a share of how far the liquid has gone.

use super::PlanarError;
use super::planar_error::{finite, not_negative, positive};

/// Retardation factor Rf: travel of the spot's centre over the front's simultaneous travel.
///
/// # Shape and units
/// `distance` and `front` are both measured from the start line, in the same unit; Rf has none.
/// `front` is above 0. `distance` may be anything finite: a mistake of measuring shows as an Rf
/// below 0 or above 1, and it is the caller's business to say so.
///
/// # Formula
/// ```text
/// Rf = d / F
/// ```
///
/// Not rounded: two decimals are for showing, never for comparing.
///
/// # Errors
/// [`PlanarError::NotPositive`] for a front of 0 or less, [`PlanarError::NotFinite`].
///
/// # Source
/// IUPAC1993, p. 845 (Gold Book R05353)
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::retardation_factor;
/// assert_eq!(retardation_factor(21.0, 50.0)?, 0.42);
/// assert!(retardation_factor(21.0, 0.0).is_err());
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn retardation_factor(distance: f64, front: f64) -> Result<f64, PlanarError> {
    Ok(finite("spot distance", distance)? / positive("front distance", front)?)
}

/// Standard uncertainty of the retardation factor from reading the two distances.
///
/// # Shape and units
/// `distance`, `front` and their standard uncertainties in one unit, `front` above 0, the
/// uncertainties not below 0. The result has no unit.
///
/// # Formula
/// ```text
/// u(Rf) = √[ (u_d / F)²  +  (d · u_F / F²)² ]        = (u / F) · √(1 + Rf²)  when u_d = u_F = u
/// ```
///
/// The two readings count as independent. Both start from the same pencil line; where that line is
/// itself read each time (zero of the ruler), its error is shared and this form is a little too
/// large. Valid to first order, that is while `u_F` is a small part of `F`.
///
/// # Errors
/// [`PlanarError::NotPositive`] for the front, [`PlanarError::Negative`] for an uncertainty,
/// [`PlanarError::NotFinite`].
///
/// # Source
/// JCGM100, 5.1.2 (law of propagation of uncertainty)
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::retardation_factor_uncertainty;
/// let u = retardation_factor_uncertainty(4.0, 8.0, 0.05, 0.05)?;
/// assert!((u - 0.0070).abs() < 5e-5);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn retardation_factor_uncertainty(
    distance: f64,
    front: f64,
    distance_sd: f64,
    front_sd: f64,
) -> Result<f64, PlanarError> {
    let rf = retardation_factor(distance, front)?;
    let from_distance = not_negative("distance uncertainty", distance_sd)? / front;
    let from_front = rf * not_negative("front uncertainty", front_sd)? / front;
    Ok(from_distance.hypot(from_front))
}
