//! How clearly two neighbouring spots stand apart.

use super::PlanarError;
use super::planar_error::{finite, not_negative};

fn widths(first: f64, second: f64) -> Result<f64, PlanarError> {
    let sum = not_negative("first width", first)? + not_negative("second width", second)?;
    if sum > 0.0 {
        Ok(sum)
    } else {
        Err(PlanarError::NotPositive {
            what: "sum of the widths",
            value: sum,
        })
    }
}

/// Resolution from the spots' full widths in the direction of flow.
///
/// # Shape and units
/// Centres and base widths in one unit; the result has none and the sign of `second - first`.
/// At least one width is above 0.
///
/// # Formula
/// ```text
/// Rs = 2 (d2 - d1) / (w1 + w2)
/// ```
///
/// Two equal discs that just touch have 1; 1.5 is baseline separation.
///
/// # Errors
/// [`PlanarError::Negative`], [`PlanarError::NotPositive`], [`PlanarError::NotFinite`].
///
/// # Source
/// IUPAC1993, p. 848 (chromatographic resolution), used on a plane as in practice
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::resolution;
/// assert_eq!(resolution(20.0, 26.0, 6.0, 6.0)?, 1.0);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn resolution(
    first: f64,
    second: f64,
    first_width: f64,
    second_width: f64,
) -> Result<f64, PlanarError> {
    let gap = finite("second distance", second)? - finite("first distance", first)?;
    Ok(2.0 * gap / widths(first_width, second_width)?)
}

/// Resolution from widths at half height (an optical density trace, not a pencilled outline).
///
/// # Shape and units
/// As for [`resolution`], with widths at half height.
///
/// # Formula
/// ```text
/// Rs = 1.18 (d2 - d1) / (wh1 + wh2)
/// ```
///
/// 1.18 is √(2 ln 2) = 1.1774 as printed; a normal peak's base width is 4σ, its half width 2.355σ.
///
/// # Errors
/// As for [`resolution`].
///
/// # Source
/// IUPAC1993, p. 848; constant as printed there
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::resolution_at_half_height;
/// assert!((resolution_at_half_height(21.0, 28.0, 3.5, 3.5)? - 1.18).abs() < 1e-15);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn resolution_at_half_height(
    first: f64,
    second: f64,
    first_width: f64,
    second_width: f64,
) -> Result<f64, PlanarError> {
    let gap = finite("second distance", second)? - finite("first distance", first)?;
    Ok(1.18 * gap / widths(first_width, second_width)?)
}
