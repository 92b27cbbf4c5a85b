//! Half-width of the interval of a mean difference.

use super::EquivalenceError;
use super::equivalence_error::positive;
use crate::distribution::student_t_quantile;
use crate::summary::SummaryError;

/// Half-width of the interval of the difference of two means, papers apart.
///
/// # Shape and units
/// `sd` of one paper about its group's mean, above 0; `first` and `second` papers, at least two
/// each; `level` of the interval (0.90 for equivalence at 5 %). Unit of the SD.
///
/// # Formula
/// ```text
/// t((1+level)/2, n1+n2-2) · s · √(1/n1 + 1/n2)
/// ```
///
/// # Errors
/// [`EquivalenceError::Summary`] below two papers, [`EquivalenceError::OutOfRange`],
/// [`EquivalenceError::Distribution`].
///
/// # Source
/// Schuirmann1987; interval of NIST-Handbook, 7.3.1
///
/// # Examples
/// ```
/// use dyebook_statistics::equivalence::unpaired_half_width;
/// assert!((unpaired_half_width(0.02, 6, 6, 0.90)? - 0.0209).abs() < 5e-5);
/// # Ok::<(), dyebook_statistics::equivalence::EquivalenceError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few papers")]
pub fn unpaired_half_width(
    sd: f64,
    first: usize,
    second: usize,
    level: f64,
) -> Result<f64, EquivalenceError> {
    let found = first.min(second);
    if found < 2 {
        return Err(SummaryError::TooFew { needed: 2, found }.into());
    }
    let (n1, n2) = (first as f64, second as f64);
    let t = student_t_quantile(f64::midpoint(1.0, level), n1 + n2 - 2.0)?;
    Ok(t * positive("standard deviation", sd)? * (1.0 / n1 + 1.0 / n2).sqrt())
}

/// Half-width of the interval of a mean difference measured on shared papers.
///
/// # Shape and units
/// `sd` of one paper's difference, above 0 (√2 times the within-paper SD for one spot each);
/// `papers` at least two. Unit of the SD.
///
/// # Formula
/// ```text
/// t((1+level)/2, n-1) · s_d / √n
/// ```
///
/// # Errors
/// As for [`unpaired_half_width`].
///
/// # Source
/// Schuirmann1987; interval of NIST-Handbook, 7.3.1
///
/// # Examples
/// ```
/// use dyebook_statistics::equivalence::paired_half_width;
/// let sd_of_difference = 0.01 * 2.0_f64.sqrt();
/// assert!((paired_half_width(sd_of_difference, 6, 0.90)? - 0.0116).abs() < 5e-5);
/// # Ok::<(), dyebook_statistics::equivalence::EquivalenceError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few papers")]
pub fn paired_half_width(sd: f64, papers: usize, level: f64) -> Result<f64, EquivalenceError> {
    if papers < 2 {
        return Err(SummaryError::TooFew {
            needed: 2,
            found: papers,
        }
        .into());
    }
    let n = papers as f64;
    let t = student_t_quantile(f64::midpoint(1.0, level), n - 1.0)?;
    Ok(t * positive("standard deviation", sd)? / n.sqrt())
}
