//! Proper scores of stated probabilities.

use super::CalibrationError;
use super::calibration_error::check;

/// Brier score: mean squared difference between what was stated and what happened.
///
/// # Shape and units
/// One outcome and one probability each; 0 is perfect, 0.25 is what saying 1/2 always gets.
///
/// # Formula
/// ```text
/// B = Σ (p_i - y_i)² / n
/// ```
///
/// # Errors
/// [`CalibrationError::Empty`], [`CalibrationError::LengthsDiffer`],
/// [`CalibrationError::Probability`].
///
/// # Source
/// Brier1950
///
/// # Examples
/// ```
/// use dyebook_statistics::calibration::brier_score;
/// let score = brier_score(&[false, true, true, false], &[0.1, 0.9, 0.8, 0.3])?;
/// assert!((score - 0.0375).abs() < 1e-15);
/// # Ok::<(), dyebook_statistics::calibration::CalibrationError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 outcomes")]
pub fn brier_score(happened: &[bool], probabilities: &[f64]) -> Result<f64, CalibrationError> {
    check(happened, probabilities)?;
    let squares = happened
        .iter()
        .zip(probabilities)
        .map(|(y, p)| (p - f64::from(*y)).powi(2));
    Ok(squares.sum::<f64>() / happened.len() as f64)
}

/// Log loss: mean surprise at what happened, in natural logarithms.
///
/// # Shape and units
/// As for [`brier_score`]; infinite where something happened that was said to be impossible.
///
/// # Formula
/// ```text
/// L = -Σ [ y ln p + (1-y) ln(1-p) ] / n
/// ```
///
/// # Errors
/// As for [`brier_score`].
///
/// # Source
/// Good1952
///
/// # Examples
/// ```
/// use dyebook_statistics::calibration::log_loss;
/// assert!((log_loss(&[true, false], &[0.5, 0.5])? - 2.0_f64.ln()).abs() < 1e-15);
/// # Ok::<(), dyebook_statistics::calibration::CalibrationError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 outcomes")]
pub fn log_loss(happened: &[bool], probabilities: &[f64]) -> Result<f64, CalibrationError> {
    check(happened, probabilities)?;
    let surprise = happened
        .iter()
        .zip(probabilities)
        .map(|(y, p)| if *y { -p.ln() } else { -(-p).ln_1p() });
    Ok(surprise.sum::<f64>() / happened.len() as f64)
}
