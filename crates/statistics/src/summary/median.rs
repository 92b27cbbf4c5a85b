//! The median.

use super::{SummaryError, require};

/// Median: the middle value, or the mean of the two middle ones.
///
/// # Shape and units
/// At least one finite value in any order; the median has their unit.
///
/// # Formula
/// ```text
/// x_((n+1)/2)                      n odd
/// (x_(n/2) + x_(n/2+1)) / 2        n even, x_(i) sorted
/// ```
///
/// # Errors
/// [`SummaryError::TooFew`] for an empty series, [`SummaryError::NotFinite`].
///
/// # Source
/// NIST-Handbook, 1.3.5.1 measures of location; checked against NIST-StRD certified medians
///
/// # Examples
/// ```
/// use dyebook_statistics::summary::median;
/// assert_eq!(median(&[0.25, 0.75, 0.5])?, 0.5);
/// # Ok::<(), dyebook_statistics::summary::SummaryError>(())
/// ```
pub fn median(values: &[f64]) -> Result<f64, SummaryError> {
    require(values, 1)?;
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    Ok(if sorted.len() % 2 == 1 {
        sorted[middle]
    } else {
        // halves first: the sum of two values near f64::MAX is infinite
        sorted[middle - 1] / 2.0 + sorted[middle] / 2.0
    })
}
