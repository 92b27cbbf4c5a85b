//! Scores where more than two things can happen.

use super::{
    CalibrationError, expected_calibration_error, maximum_calibration_error, reliability_table,
};

/// Scores of probabilities over several classes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ManyClasses {
    /// Mean of -ln of the probability given to what happened.
    pub log_loss: f64,
    /// Mean over cases of the squared differences, summed over classes; from 0 to 2.
    pub brier: f64,
    /// Share of cases in which the most probable class happened.
    pub top_accuracy: f64,
    /// Expected calibration error of the most probable class's probability.
    pub top_calibration_error: f64,
    /// Largest calibration gap of the most probable class's probability.
    pub top_largest_gap: f64,
}

/// Scores of probabilities over several classes.
///
/// # Shape and units
/// `happened[i]` is the class of case `i`, `probabilities[i]` one probability a class. `bins` of
/// the calibration table of the most probable class (the first of equals).
///
/// # Formula
/// ```text
/// L = -Σ ln p_i(y_i) / n      B = ΣΣ (p_ik - [y_i = k])² / n
/// ```
///
/// # Errors
/// [`CalibrationError::Empty`], [`CalibrationError::LengthsDiffer`],
/// [`CalibrationError::Probability`].
///
/// # Source
/// Brier1950; Good1952; Guo2017 (top-label calibration error)
///
/// # Examples
/// ```
/// use dyebook_statistics::calibration::many_classes;
/// let scores = many_classes(&[0, 1], &[vec![1.0, 0.0], vec![0.0, 1.0]], 5)?;
/// assert_eq!((scores.brier, scores.top_accuracy), (0.0, 1.0));
/// # Ok::<(), dyebook_statistics::calibration::CalibrationError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 cases")]
pub fn many_classes(
    happened: &[usize],
    probabilities: &[Vec<f64>],
    bins: usize,
) -> Result<ManyClasses, CalibrationError> {
    let (outcomes, found) = (happened.len(), probabilities.len());
    if outcomes != found {
        return Err(CalibrationError::LengthsDiffer {
            outcomes,
            probabilities: found,
        });
    }
    let (mut surprise, mut squares) = (0.0, 0.0);
    let (mut top_right, mut top_probability) = (Vec::new(), Vec::new());
    for (index, (class, row)) in happened.iter().zip(probabilities).enumerate() {
        let Some(given) = row
            .get(*class)
            .filter(|_| row.iter().all(|p| (0.0..=1.0).contains(p)))
        else {
            return Err(CalibrationError::Probability { index });
        };
        surprise -= given.ln();
        squares += row.iter().map(|p| p * p).sum::<f64>() - 2.0 * given + 1.0;
        let mut top = (0, f64::NEG_INFINITY);
        for (k, p) in row.iter().enumerate() {
            if *p > top.1 {
                top = (k, *p);
            }
        }
        top_right.push(top.0 == *class);
        top_probability.push(top.1);
    }
    let table = reliability_table(&top_right, &top_probability, bins)?;
    let n = outcomes as f64;
    Ok(ManyClasses {
        log_loss: surprise / n,
        brier: squares / n,
        top_accuracy: top_right.iter().filter(|right| **right).count() as f64 / n,
        top_calibration_error: expected_calibration_error(&table)?,
        top_largest_gap: maximum_calibration_error(&table)?,
    })
}
