//! One standard deviation from several.

use super::{SummaryError, compensated_sum, require};

/// Pooled standard deviation of several series.
///
/// # Shape and units
/// One standard deviation and its degrees of freedom a series, at least one series with degrees of
/// freedom above 0; all in one unit.
///
/// # Formula
/// ```text
/// s² = Σ ν_i s_i² / Σ ν_i
/// ```
///
/// # Errors
/// [`SummaryError::TooFew`] without degrees of freedom or where a series lacks its own,
/// [`SummaryError::NotFinite`].
///
/// # Source
/// NIST-Handbook, 2.4.4.3 and 2.4.4.4
///
/// # Examples
/// ```
/// use dyebook_statistics::summary::pooled_sd;
/// assert_eq!(pooled_sd(&[3.0, 4.0], &[1.0, 1.0])?, 12.5_f64.sqrt());
/// # Ok::<(), dyebook_statistics::summary::SummaryError>(())
/// ```
pub fn pooled_sd(sds: &[f64], df: &[f64]) -> Result<f64, SummaryError> {
    require(sds, 1)?;
    require(df, sds.len())?;
    let total = compensated_sum(df.iter().copied());
    if total <= 0.0 {
        return Err(SummaryError::TooFew {
            needed: 1,
            found: 0,
        });
    }
    let squares = compensated_sum(sds.iter().zip(df).map(|(sd, df)| df * sd * sd));
    Ok((squares / total).sqrt())
}
