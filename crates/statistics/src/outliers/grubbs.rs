//! Grubbs' test for one value far from the others.

use super::OutlierError;
use crate::distribution::{probability, student_t_quantile};
use crate::summary::{SummaryError, mean, standard_deviation};

/// Which values may be the odd one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Only the smallest.
    Low,
    /// Only the largest.
    High,
    /// The one farthest from the mean.
    Both,
}

/// Outcome of Grubbs' test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grubbs {
    /// Position of the value tested, from 0.
    pub index: usize,
    /// Distance of the value from the mean in standard deviations.
    pub statistic: f64,
    /// What the distance stays below by chance.
    pub critical: f64,
}

impl Grubbs {
    /// Whether the value stands apart at the level of the test.
    ///
    /// # Formula
    /// ```text
    /// G > G_crit
    /// ```
    ///
    /// # Source
    /// NIST-Handbook, 1.3.5.17.1
    pub fn stands_apart(&self) -> bool {
        self.statistic > self.critical
    }
}

/// Critical value of Grubbs' test.
///
/// # Shape and units
/// `n` values, at least 3; `alpha` strictly between 0 and 1.
///
/// # Formula
/// ```text
/// G = (n-1)/√n · √[ t² / (n-2+t²) ],   t = t(1 - α/n, n-2),   two-sided t(1 - α/(2n), n-2)
/// ```
///
/// # Errors
/// [`OutlierError::Summary`] below three values, [`OutlierError::Distribution`].
///
/// # Source
/// NIST-Handbook, 1.3.5.17.1; Grubbs1969
///
/// # Examples
/// ```
/// use dyebook_statistics::outliers::{Side, grubbs_critical};
/// assert!((grubbs_critical(8, 0.05, Side::High)? - 2.032).abs() < 1e-3);
/// # Ok::<(), dyebook_statistics::outliers::OutlierError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few values")]
pub fn grubbs_critical(n: usize, alpha: f64, side: Side) -> Result<f64, OutlierError> {
    if n < 3 {
        return Err(SummaryError::TooFew {
            needed: 3,
            found: n,
        }
        .into());
    }
    let count = n as f64;
    let sides = if side == Side::Both { 2.0 } else { 1.0 };
    let t = student_t_quantile(probability(alpha)? / (sides * count), count - 2.0)?;
    Ok((count - 1.0) / count.sqrt() * (t * t / (count - 2.0 + t * t)).sqrt())
}

/// Grubbs' test for one value that stands apart.
///
/// # Shape and units
/// At least three values of one normal population; `alpha` the risk of pointing at a good value.
///
/// # Formula
/// ```text
/// G = max |x_i - mean| / s      (or of the smallest, or of the largest only)
/// ```
///
/// One value at a time: two odd ones hide each other.
///
/// # Errors
/// [`OutlierError::Summary`], [`OutlierError::NoSpread`], [`OutlierError::Distribution`].
///
/// # Source
/// NIST-Handbook, 1.3.5.17.1; Grubbs1969
///
/// # Examples
/// ```
/// use dyebook_statistics::outliers::{Side, grubbs_test};
/// let isotopes = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];
/// let test = grubbs_test(&isotopes, 0.05, Side::High)?;
/// assert!(test.index == 7 && test.stands_apart());
/// # Ok::<(), dyebook_statistics::outliers::OutlierError>(())
/// ```
pub fn grubbs_test(values: &[f64], alpha: f64, side: Side) -> Result<Grubbs, OutlierError> {
    let critical = grubbs_critical(values.len(), alpha, side)?;
    let (centre, sd) = (mean(values)?, standard_deviation(values)?);
    if sd == 0.0 {
        return Err(OutlierError::NoSpread);
    }
    let mut farthest = (0, f64::NEG_INFINITY);
    for (index, value) in values.iter().enumerate() {
        let away = match side {
            Side::Low => centre - value,
            Side::High => value - centre,
            Side::Both => (value - centre).abs(),
        };
        if away > farthest.1 {
            farthest = (index, away);
        }
    }
    Ok(Grubbs {
        index: farthest.0,
        statistic: farthest.1 / sd,
        critical,
    })
}
