//! How well an observed share is known.

use super::CalibrationError;
use crate::distribution::{DistributionError, f_quantile, normal_quantile, probability};

/// Limits of the true share behind an observed one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoverageLimits {
    /// Share observed.
    pub share: f64,
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
}

#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 trials")]
fn check(inside: u64, trials: u64, level: f64) -> Result<(f64, f64), CalibrationError> {
    if trials == 0 || inside > trials {
        return Err(CalibrationError::Share { inside, trials });
    }
    probability(level)?;
    Ok((inside as f64, trials as f64))
}

/// Exact limits of a share (Clopper and Pearson).
///
/// # Shape and units
/// `inside` of `trials` independent cases; `level` strictly between 0 and 1.
///
/// # Formula
/// ```text
/// low  = k / [ k + (n-k+1) F(1-α/2; 2(n-k+1), 2k) ]
/// high = (k+1) F(1-α/2; 2(k+1), 2(n-k)) / [ n-k + (k+1) F(1-α/2; 2(k+1), 2(n-k)) ]
/// ```
///
/// Holds the true share at least as often as stated; a little wide for small numbers.
///
/// # Errors
/// [`CalibrationError::Share`], [`CalibrationError::Distribution`].
///
/// # Source
/// ClopperPearson1934; NIST-Handbook, 7.2.4.1
///
/// # Examples
/// ```
/// use dyebook_statistics::calibration::exact_coverage_limits;
/// let limits = exact_coverage_limits(95, 100, 0.95)?;
/// assert!((limits.low - 0.887).abs() < 1e-3 && (limits.high - 0.984).abs() < 1e-3);
/// # Ok::<(), dyebook_statistics::calibration::CalibrationError>(())
/// ```
pub fn exact_coverage_limits(
    inside: u64,
    trials: u64,
    level: f64,
) -> Result<CoverageLimits, CalibrationError> {
    let (k, n) = check(inside, trials, level)?;
    let upper = f64::midpoint(1.0, level);
    // the limit of k successes; the upper limit is the mirror image of the failures' lower one
    let lower_of = |k: f64| -> Result<f64, DistributionError> {
        if k == 0.0 {
            return Ok(0.0);
        }
        let f = f_quantile(upper, 2.0 * (n - k + 1.0), 2.0 * k)?;
        Ok(k / (k + (n - k + 1.0) * f))
    };
    Ok(CoverageLimits {
        share: k / n,
        low: lower_of(k)?,
        high: 1.0 - lower_of(n - k)?,
    })
}

/// Wilson's limits of a share.
///
/// # Shape and units
/// As for [`exact_coverage_limits`].
///
/// # Formula
/// ```text
/// [ p + z²/(2n) ± z √( p(1-p)/n + z²/(4n²) ) ] / (1 + z²/n)
/// ```
///
/// Holds the true share as often as stated on average over shares, not for each.
///
/// # Errors
/// As for [`exact_coverage_limits`].
///
/// # Source
/// Wilson1927; NIST-Handbook, 7.2.4.1
///
/// # Examples
/// ```
/// use dyebook_statistics::calibration::wilson_coverage_limits;
/// assert!((wilson_coverage_limits(95, 100, 0.95)?.low - 0.888).abs() < 1e-3);
/// # Ok::<(), dyebook_statistics::calibration::CalibrationError>(())
/// ```
pub fn wilson_coverage_limits(
    inside: u64,
    trials: u64,
    level: f64,
) -> Result<CoverageLimits, CalibrationError> {
    let (k, n) = check(inside, trials, level)?;
    let z = normal_quantile(f64::midpoint(1.0, level))?;
    let share = k / n;
    let spread = z * (share * (1.0 - share) / n + z * z / (4.0 * n * n)).sqrt();
    let centre = share + z * z / (2.0 * n);
    let scale = 1.0 + z * z / n;
    Ok(CoverageLimits {
        share,
        low: ((centre - spread) / scale).max(0.0),
        high: ((centre + spread) / scale).min(1.0),
    })
}
