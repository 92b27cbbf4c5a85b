//! Stated probability against observed frequency.

use super::CalibrationError;
use super::calibration_error::check;

/// One row of a calibration table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReliabilityBin {
    /// How many probabilities fall here.
    pub count: usize,
    /// Their mean; `None` where there are none.
    pub mean_probability: Option<f64>,
    /// Share of them that happened; `None` where there are none.
    pub observed_frequency: Option<f64>,
}

/// Calibration table in bins of equal width.
///
/// # Shape and units
/// One outcome and one probability each; at least one bin. Bin `i` of `n` holds probabilities
/// above `i/n` up to and with `(i+1)/n`, the first also 0.
///
/// # Formula
/// ```text
/// mean p and mean y of each bin
/// ```
///
/// # Errors
/// [`CalibrationError::Empty`] (also without a bin), [`CalibrationError::LengthsDiffer`],
/// [`CalibrationError::Probability`].
///
/// # Source
/// Murphy1973; edges as in scikit-learn 1.9 `calibration_curve(strategy="uniform")`
///
/// # Examples
/// ```
/// use dyebook_statistics::calibration::reliability_table;
/// let table = reliability_table(&[true, false], &[0.9, 0.2], 5)?;
/// assert_eq!((table[0].count, table[4].count), (1, 1)); // 0.2 belongs to the bin below it
/// # Ok::<(), dyebook_statistics::calibration::CalibrationError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 outcomes")]
pub fn reliability_table(
    happened: &[bool],
    probabilities: &[f64],
    bins: usize,
) -> Result<Vec<ReliabilityBin>, CalibrationError> {
    check(happened, probabilities)?;
    if bins == 0 {
        return Err(CalibrationError::Empty);
    }
    let mut sums = vec![(0_usize, 0.0, 0.0); bins];
    for (y, p) in happened.iter().zip(probabilities) {
        // the edges themselves decide, not p·bins rounded: 3/5 and 0.6 must fall into one bin
        let bin = (1..bins)
            .filter(|edge| (*edge as f64 / bins as f64) < *p)
            .count();
        sums[bin].0 += 1;
        sums[bin].1 += p;
        sums[bin].2 += f64::from(*y);
    }
    let bin = |(count, p, y): (usize, f64, f64)| {
        let mean = |sum: f64| (count > 0).then(|| sum / count as f64);
        ReliabilityBin {
            count,
            mean_probability: mean(p),
            observed_frequency: mean(y),
        }
    };
    Ok(sums.into_iter().map(bin).collect())
}

/// Gaps between stated and observed, with the number of probabilities behind each.
fn gaps(table: &[ReliabilityBin]) -> impl Iterator<Item = (usize, f64)> {
    table.iter().filter_map(|bin| {
        let gap = (bin.mean_probability? - bin.observed_frequency?).abs();
        Some((bin.count, gap))
    })
}

/// Expected calibration error of a calibration table.
///
/// # Shape and units
/// A table of [`reliability_table`]; from 0 (borne out) to 1.
///
/// # Formula
/// ```text
/// ECE = Σ n_b |p̄_b - ȳ_b| / n
/// ```
///
/// With few probabilities a bin it is above 0 by chance alone.
///
/// # Errors
/// [`CalibrationError::Empty`].
///
/// # Source
/// Naeini2015; Guo2017
///
/// # Examples
/// ```
/// use dyebook_statistics::calibration::{expected_calibration_error, reliability_table};
/// let table = reliability_table(&[false, true, false, true], &[0.5; 4], 5)?;
/// assert_eq!(expected_calibration_error(&table)?, 0.0);
/// # Ok::<(), dyebook_statistics::calibration::CalibrationError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 outcomes")]
pub fn expected_calibration_error(table: &[ReliabilityBin]) -> Result<f64, CalibrationError> {
    let total: usize = table.iter().map(|bin| bin.count).sum();
    if total == 0 {
        return Err(CalibrationError::Empty);
    }
    Ok(gaps(table)
        .map(|(count, gap)| count as f64 * gap)
        .sum::<f64>()
        / total as f64)
}

/// Largest gap of a calibration table.
///
/// # Shape and units
/// As for [`expected_calibration_error`].
///
/// # Formula
/// ```text
/// MCE = max |p̄_b - ȳ_b|
/// ```
///
/// # Errors
/// [`CalibrationError::Empty`].
///
/// # Source
/// Naeini2015
///
/// # Examples
/// ```
/// use dyebook_statistics::calibration::{maximum_calibration_error, reliability_table};
/// let table = reliability_table(&[true, true], &[0.7, 0.9], 10)?;
/// assert!((maximum_calibration_error(&table)? - 0.3).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::calibration::CalibrationError>(())
/// ```
pub fn maximum_calibration_error(table: &[ReliabilityBin]) -> Result<f64, CalibrationError> {
    gaps(table)
        .map(|(_, gap)| gap)
        .reduce(f64::max)
        .ok_or(CalibrationError::Empty)
}
