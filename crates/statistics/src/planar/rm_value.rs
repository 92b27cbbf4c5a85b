//! The RM value, which moves linearly with the developing solvent's strength.

use std::f64::consts::LN_10;

use super::PlanarError;
use super::planar_error::finite;

fn inside(rf: f64) -> Result<f64, PlanarError> {
    if finite("retardation factor", rf)? > 0.0 && rf < 1.0 {
        Ok(rf)
    } else {
        Err(PlanarError::OutOfRange {
            what: "retardation factor",
            value: rf,
            low: 0.0,
            high: 1.0,
        })
    }
}

/// RM value of a retardation factor.
///
/// # Shape and units
/// Rf strictly between 0 and 1; RM has no unit.
///
/// # Formula
/// ```text
/// RM = log10[ (1 - Rf) / Rf ] = log10 k
/// ```
///
/// Undefined at 0 and 1, and worth little near them: at Rf 0.95 a reading error of 0.01 is 0.09.
///
/// # Errors
/// [`PlanarError::OutOfRange`], [`PlanarError::NotFinite`].
///
/// # Source
/// IUPAC1993, p. 845; Soczewinski, Chromatographia (10.1007/BF02262058)
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::rm_value;
/// assert!((rm_value(0.25)? - 3.0_f64.log10()).abs() < 1e-15);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn rm_value(rf: f64) -> Result<f64, PlanarError> {
    let rf = inside(rf)?;
    Ok(((1.0 - rf) / rf).log10())
}

/// Retardation factor of an RM value.
///
/// # Shape and units
/// Any finite RM; Rf lies strictly between 0 and 1.
///
/// # Formula
/// ```text
/// Rf = 1 / (1 + 10^RM)
/// ```
///
/// # Errors
/// [`PlanarError::NotFinite`].
///
/// # Source
/// IUPAC1993, p. 845 (inverse of the definition)
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::rf_of_rm;
/// assert_eq!(rf_of_rm(0.0)?, 0.5);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn rf_of_rm(rm: f64) -> Result<f64, PlanarError> {
    Ok(1.0 / (1.0 + 10.0_f64.powf(finite("RM value", rm)?)))
}

/// How much Rf moves when RM moves.
///
/// # Shape and units
/// Rf strictly between 0 and 1; the slope has no unit and is negative.
///
/// # Formula
/// ```text
/// dRf/dRM = -ln 10 · Rf · (1 - Rf)
/// ```
///
/// # Errors
/// [`PlanarError::OutOfRange`], [`PlanarError::NotFinite`].
///
/// # Source
/// Derivative of the definition in IUPAC1993, p. 845
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::rf_change_per_rm;
/// assert!((rf_change_per_rm(0.5)? + 0.576).abs() < 1e-3);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn rf_change_per_rm(rf: f64) -> Result<f64, PlanarError> {
    let rf = inside(rf)?;
    Ok(-LN_10 * rf * (1.0 - rf))
}
