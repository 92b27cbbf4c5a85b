//! Cochran's test for one group with too large a spread.

use super::OutlierError;
use crate::distribution::{f_quantile, probability};
use crate::summary::standard_deviation;

/// Outcome of Cochran's test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cochran {
    /// Position of the group with the largest variance, from 0.
    pub index: usize,
    /// Share of that variance in the sum of all.
    pub statistic: f64,
    /// What the share stays below by chance.
    pub critical: f64,
}

impl Cochran {
    /// Whether the group stands apart at the level of the test.
    ///
    /// # Formula
    /// ```text
    /// C > C_crit
    /// ```
    ///
    /// # Source
    /// ISO5725-2, 7.3.3
    pub fn stands_apart(&self) -> bool {
        self.statistic > self.critical
    }
}

/// Critical value of Cochran's test.
///
/// # Shape and units
/// `groups` groups (at least 2) of `values` values each (at least 2; where groups differ a little,
/// the usual number); `alpha` strictly between 0 and 1.
///
/// # Formula
/// ```text
/// C = 1 / [ 1 + (p-1) / F(1 - α/p; n-1, (p-1)(n-1)) ]
/// ```
///
/// # Errors
/// [`OutlierError::TooFewGroups`], [`OutlierError::Distribution`].
///
/// # Source
/// ISO5725-2, 8.1 (table); closed form from memory, checked against the table
///
/// # Examples
/// ```
/// use dyebook_statistics::outliers::cochran_critical;
/// assert!((cochran_critical(2, 3, 0.05)? - 0.975).abs() < 1e-9);
/// # Ok::<(), dyebook_statistics::outliers::OutlierError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few groups")]
pub fn cochran_critical(groups: usize, values: usize, alpha: f64) -> Result<f64, OutlierError> {
    if groups < 2 || values < 2 {
        return Err(OutlierError::TooFewGroups {
            needed: 2,
            found: groups.min(values),
        });
    }
    let (p, df) = (groups as f64, values as f64 - 1.0);
    // the upper α/p quantile is the inverse of the lower one with the degrees exchanged
    let f = 1.0 / f_quantile(probability(alpha)? / p, (p - 1.0) * df, df)?;
    Ok(1.0 / (1.0 + (p - 1.0) / f))
}

/// Cochran's statistic: the largest variance over the sum of the variances.
///
/// # Shape and units
/// Standard deviations of at least two groups, none below 0. From 1/p to 1.
///
/// # Formula
/// ```text
/// C = max s_i² / Σ s_i²
/// ```
///
/// # Errors
/// [`OutlierError::TooFewGroups`], [`OutlierError::NoSpread`].
///
/// # Source
/// ISO5725-2, 7.3.3.2
///
/// # Examples
/// ```
/// use dyebook_statistics::outliers::cochran_statistic;
/// assert_eq!(cochran_statistic(&[1.0, 3.0])?, 0.9);
/// # Ok::<(), dyebook_statistics::outliers::OutlierError>(())
/// ```
pub fn cochran_statistic(sds: &[f64]) -> Result<f64, OutlierError> {
    if sds.len() < 2 {
        return Err(OutlierError::TooFewGroups {
            needed: 2,
            found: sds.len(),
        });
    }
    let sum: f64 = sds.iter().map(|sd| sd * sd).sum();
    if sum > 0.0 && sum.is_finite() {
        Ok(sds.iter().map(|sd| sd * sd).fold(0.0, f64::max) / sum)
    } else {
        Err(OutlierError::NoSpread)
    }
}

/// Cochran's test for a group whose values scatter too much.
///
/// # Shape and units
/// Groups of values; those with fewer than two say nothing and are passed over. The critical value
/// takes the most frequent number of values a group.
///
/// # Formula
/// ```text
/// C = max s_i² / Σ s_i²  against  C_crit(p, n, α)
/// ```
///
/// # Errors
/// [`OutlierError::TooFewGroups`], [`OutlierError::NoSpread`], [`OutlierError::Summary`],
/// [`OutlierError::Distribution`].
///
/// # Source
/// ISO5725-2, 7.3.3
///
/// # Examples
/// ```
/// use dyebook_statistics::outliers::cochran_test;
/// let papers = [vec![0.41, 0.42], vec![0.44, 0.44], vec![0.30, 0.52], vec![0.40, 0.41]];
/// let test = cochran_test(&papers, 0.05)?;
/// assert!(test.index == 2 && test.stands_apart());
/// # Ok::<(), dyebook_statistics::outliers::OutlierError>(())
/// ```
pub fn cochran_test(groups: &[Vec<f64>], alpha: f64) -> Result<Cochran, OutlierError> {
    let mut spreads = Vec::new();
    for (index, group) in groups
        .iter()
        .enumerate()
        .filter(|(_, group)| group.len() > 1)
    {
        spreads.push((index, standard_deviation(group)?));
    }
    let sds: Vec<f64> = spreads.iter().map(|spread| spread.1).collect();
    let statistic = cochran_statistic(&sds)?;
    let largest = spreads.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let usual = usual_size(groups);
    Ok(Cochran {
        index: largest.map_or(0, |spread| spread.0),
        statistic,
        critical: cochran_critical(sds.len(), usual, alpha)?,
    })
}

/// The most frequent size among groups of two and more; the smaller of two equally frequent ones.
fn usual_size(groups: &[Vec<f64>]) -> usize {
    let count = |size: usize| groups.iter().filter(|group| group.len() == size).count();
    let sizes = groups.iter().map(Vec::len).filter(|size| *size > 1);
    sizes
        .max_by_key(|size| (count(*size), std::cmp::Reverse(*size)))
        .unwrap_or(2)
}
