//! Mandel's h and k: which laboratory (session, paper) lies off, and which scatters.

use super::OutlierError;
use crate::distribution::{f_quantile, probability, student_t_quantile};
use crate::summary::{mean, standard_deviation};

/// Mandel's h: each group's mean against the other groups' means.
///
/// # Shape and units
/// Means of at least three groups; one h a group, without unit.
///
/// # Formula
/// ```text
/// h_i = (ȳ_i - ȳ) / s(ȳ),    ȳ the mean of the means
/// ```
///
/// # Errors
/// [`OutlierError::Summary`], [`OutlierError::NoSpread`].
///
/// # Source
/// ISO5725-2, 7.3.1.2
///
/// # Examples
/// ```
/// use dyebook_statistics::outliers::mandel_h;
/// assert_eq!(mandel_h(&[1.0, 2.0, 3.0])?, [-1.0, 0.0, 1.0]);
/// # Ok::<(), dyebook_statistics::outliers::OutlierError>(())
/// ```
pub fn mandel_h(means: &[f64]) -> Result<Vec<f64>, OutlierError> {
    let (centre, sd) = (mean(means)?, standard_deviation(means)?);
    if sd == 0.0 {
        return Err(OutlierError::NoSpread);
    }
    Ok(means.iter().map(|value| (value - centre) / sd).collect())
}

/// Mandel's k: each group's standard deviation against the pooled one.
///
/// # Shape and units
/// Standard deviations of at least two groups of one size; one k a group, without unit.
///
/// # Formula
/// ```text
/// k_i = s_i / √( Σ s_i² / p )
/// ```
///
/// # Errors
/// [`OutlierError::TooFewGroups`], [`OutlierError::NoSpread`].
///
/// # Source
/// ISO5725-2, 7.3.1.3
///
/// # Examples
/// ```
/// use dyebook_statistics::outliers::mandel_k;
/// assert_eq!(mandel_k(&[1.0, 1.0])?, [1.0, 1.0]);
/// # Ok::<(), dyebook_statistics::outliers::OutlierError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few groups")]
pub fn mandel_k(sds: &[f64]) -> Result<Vec<f64>, OutlierError> {
    if sds.len() < 2 {
        return Err(OutlierError::TooFewGroups {
            needed: 2,
            found: sds.len(),
        });
    }
    let pooled = (sds.iter().map(|sd| sd * sd).sum::<f64>() / sds.len() as f64).sqrt();
    if pooled > 0.0 && pooled.is_finite() {
        Ok(sds.iter().map(|sd| sd / pooled).collect())
    } else {
        Err(OutlierError::NoSpread)
    }
}

/// What |h| stays below by chance.
///
/// # Shape and units
/// `groups` groups, at least 3; `alpha` strictly between 0 and 1 (ISO 5725-2 uses 0.01 and 0.05).
///
/// # Formula
/// ```text
/// h = (p-1) t / √[ p (t² + p - 2) ],    t = t(1 - α/2, p-2)
/// ```
///
/// # Errors
/// [`OutlierError::TooFewGroups`], [`OutlierError::Distribution`].
///
/// # Source
/// ISO5725-2, 8.3 (closed form from memory); ASTM E691 prints 2.15 and 2.06 for 8 laboratories, 3 results
///
/// # Examples
/// ```
/// use dyebook_statistics::outliers::mandel_h_critical;
/// assert!((mandel_h_critical(8, 0.005)? - 2.15).abs() < 5e-3);
/// # Ok::<(), dyebook_statistics::outliers::OutlierError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few groups")]
pub fn mandel_h_critical(groups: usize, alpha: f64) -> Result<f64, OutlierError> {
    if groups < 3 {
        return Err(OutlierError::TooFewGroups {
            needed: 3,
            found: groups,
        });
    }
    let p = groups as f64;
    let t = student_t_quantile(1.0 - probability(alpha)? / 2.0, p - 2.0)?;
    Ok((p - 1.0) * t / (p * (t * t + p - 2.0)).sqrt())
}

/// What k stays below by chance.
///
/// # Shape and units
/// `groups` groups (at least 2) of `values` values (at least 2); `alpha` as for
/// [`mandel_h_critical`].
///
/// # Formula
/// ```text
/// k = √{ p / [ 1 + (p-1) / F(1 - α; n-1, (p-1)(n-1)) ] }
/// ```
///
/// # Errors
/// [`OutlierError::TooFewGroups`], [`OutlierError::Distribution`].
///
/// # Source
/// ISO5725-2, 8.3 (closed form from memory); ASTM E691 prints 2.15 and 2.06 for 8 laboratories, 3 results
///
/// # Examples
/// ```
/// use dyebook_statistics::outliers::mandel_k_critical;
/// assert!((mandel_k_critical(8, 3, 0.005)? - 2.06).abs() < 5e-3);
/// # Ok::<(), dyebook_statistics::outliers::OutlierError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few groups")]
pub fn mandel_k_critical(groups: usize, values: usize, alpha: f64) -> Result<f64, OutlierError> {
    if groups < 2 || values < 2 {
        return Err(OutlierError::TooFewGroups {
            needed: 2,
            found: groups.min(values),
        });
    }
    let (p, df) = (groups as f64, values as f64 - 1.0);
    let f = f_quantile(1.0 - probability(alpha)?, df, (p - 1.0) * df)?;
    Ok((p / (1.0 + (p - 1.0) / f)).sqrt())
}
