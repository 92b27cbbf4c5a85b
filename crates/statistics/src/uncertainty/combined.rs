//! The law of propagation of uncertainty, and the degrees of freedom of what it gives.

use super::UncertaintyError;
use super::uncertainty_error::not_negative;
use crate::summary::{mean, require};

/// Combined standard uncertainty of a result.
///
/// # Shape and units
/// `contributions[i]` is sensitivity times standard uncertainty of input `i`, signed, in the unit
/// of the result (or all relative, for products and quotients). `correlations[i][j]` is the table
/// of correlation coefficients; empty means independent.
///
/// # Formula
/// ```text
/// u² = ΣΣ c_i u_i · c_j u_j · r_ij          independent:  u² = Σ (c_i u_i)²
/// ```
///
/// # Errors
/// [`UncertaintyError::SizesDiffer`], [`UncertaintyError::OutOfRange`] for a coefficient outside
/// -1..1.
///
/// # Source
/// JCGM100, 5.1.2 and 5.2.2
///
/// # Examples
/// ```
/// use dyebook_statistics::uncertainty::combined_uncertainty;
/// assert_eq!(combined_uncertainty(&[3.0, 4.0], &[])?, 5.0);
/// assert_eq!(combined_uncertainty(&[3.0, -3.0], &[vec![1.0, 1.0], vec![1.0, 1.0]])?, 0.0);
/// # Ok::<(), dyebook_statistics::uncertainty::UncertaintyError>(())
/// ```
pub fn combined_uncertainty(
    contributions: &[f64],
    correlations: &[Vec<f64>],
) -> Result<f64, UncertaintyError> {
    if correlations.is_empty() {
        return Ok(contributions
            .iter()
            .map(|part| part * part)
            .sum::<f64>()
            .sqrt());
    }
    let n = contributions.len();
    if correlations.len() != n {
        return Err(UncertaintyError::SizesDiffer {
            left: n,
            right: correlations.len(),
        });
    }
    let mut variance = 0.0;
    for (part, row) in contributions.iter().zip(correlations) {
        if row.len() != n {
            return Err(UncertaintyError::SizesDiffer {
                left: n,
                right: row.len(),
            });
        }
        for (other, r) in contributions.iter().zip(row) {
            if !(-1.0..=1.0).contains(r) {
                return Err(UncertaintyError::OutOfRange {
                    what: "correlation",
                    value: *r,
                });
            }
            variance += part * other * r;
        }
    }
    Ok(variance.max(0.0).sqrt())
}

/// Correlation coefficient of paired readings.
///
/// # Shape and units
/// Two series of one length, at least two values, neither constant. From -1 to 1.
///
/// # Formula
/// ```text
/// r = Σ(x-x̄)(y-ȳ) / √[ Σ(x-x̄)² Σ(y-ȳ)² ]
/// ```
///
/// # Errors
/// [`UncertaintyError::SizesDiffer`], [`UncertaintyError::Summary`],
/// [`UncertaintyError::OutOfRange`] for a constant series.
///
/// # Source
/// JCGM100, 5.2.3
///
/// # Examples
/// ```
/// use dyebook_statistics::uncertainty::correlation;
/// assert!((correlation(&[1.0, 2.0, 3.0], &[3.0, 2.0, 1.0])? + 1.0).abs() < 1e-15);
/// # Ok::<(), dyebook_statistics::uncertainty::UncertaintyError>(())
/// ```
pub fn correlation(x: &[f64], y: &[f64]) -> Result<f64, UncertaintyError> {
    if x.len() != y.len() {
        return Err(UncertaintyError::SizesDiffer {
            left: x.len(),
            right: y.len(),
        });
    }
    require(x, 2)?;
    let (x_mean, y_mean) = (mean(x)?, mean(y)?);
    let (mut xx, mut yy, mut xy) = (0.0, 0.0, 0.0);
    for (x, y) in x.iter().zip(y) {
        xx += (x - x_mean).powi(2);
        yy += (y - y_mean).powi(2);
        xy += (x - x_mean) * (y - y_mean);
    }
    if xx > 0.0 && yy > 0.0 {
        Ok((xy / (xx * yy).sqrt()).clamp(-1.0, 1.0))
    } else {
        Err(UncertaintyError::OutOfRange {
            what: "spread of a series",
            value: xx.min(yy),
        })
    }
}

/// Effective degrees of freedom of a combined uncertainty.
///
/// # Shape and units
/// Pairs of contribution (sensitivity times standard uncertainty) and its degrees of freedom,
/// infinite where it is known. Infinite where all contributing parts are.
///
/// # Formula
/// ```text
/// ν = u⁴ / Σ [ (c_i u_i)⁴ / ν_i ],    u² = Σ (c_i u_i)²
/// ```
///
/// # Errors
/// [`UncertaintyError::OutOfRange`] for degrees of freedom not above 0, or without a contribution.
///
/// # Source
/// JCGM100, G.4.1; Welch1947; Satterthwaite1946
///
/// # Examples
/// ```
/// use dyebook_statistics::uncertainty::welch_satterthwaite;
/// assert!((welch_satterthwaite(&[(0.25, 9.0), (0.57, 4.0), (0.82, 14.0)])? - 19.0).abs() < 0.01);
/// # Ok::<(), dyebook_statistics::uncertainty::UncertaintyError>(())
/// ```
pub fn welch_satterthwaite(parts: &[(f64, f64)]) -> Result<f64, UncertaintyError> {
    let (mut variance, mut spread) = (0.0, 0.0);
    for (part, df) in parts {
        if df.is_nan() || *df <= 0.0 {
            return Err(UncertaintyError::OutOfRange {
                what: "degrees of freedom",
                value: *df,
            });
        }
        let square = not_negative("contribution", part.abs())?.powi(2);
        variance += square;
        spread += square * square / df;
    }
    if variance > 0.0 {
        Ok(if spread > 0.0 {
            variance * variance / spread
        } else {
            f64::INFINITY
        })
    } else {
        Err(UncertaintyError::OutOfRange {
            what: "combined variance",
            value: variance,
        })
    }
}
