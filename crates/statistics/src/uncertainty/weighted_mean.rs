//! Means of results that differ in quality.

use super::UncertaintyError;
use crate::summary::{SummaryError, require};

/// A mean weighted by the inverse variances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightedMean {
    /// The mean.
    pub mean: f64,
    /// Its standard uncertainty as the single uncertainties say.
    pub u_internal: f64,
    /// Sum of squared deviations in units of the uncertainties.
    pub chi_square: f64,
    /// Degrees of freedom: results less one.
    pub df: f64,
}

impl WeightedMean {
    /// How much more the results scatter than their uncertainties say.
    ///
    /// # Formula
    /// ```text
    /// R = √(χ² / ν)
    /// ```
    ///
    /// # Source
    /// Birge1932
    pub fn birge_ratio(&self) -> f64 {
        (self.chi_square / self.df).sqrt()
    }

    /// Standard uncertainty of the mean as the scatter of the results says.
    ///
    /// # Formula
    /// ```text
    /// u_external = R · u_internal
    /// ```
    ///
    /// # Source
    /// Birge1932
    pub fn u_external(&self) -> f64 {
        self.birge_ratio() * self.u_internal
    }
}

/// Mean of results with known uncertainties, weighted by their inverse squares.
///
/// # Shape and units
/// At least two results with uncertainties above 0, all in one unit.
///
/// # Formula
/// ```text
/// w = 1/u²    mean = Σwx/Σw    u = 1/√Σw    χ² = Σw(x - mean)²
/// ```
///
/// # Errors
/// [`UncertaintyError::SizesDiffer`], [`UncertaintyError::Summary`],
/// [`UncertaintyError::OutOfRange`].
///
/// # Source
/// Birge1932; NIST-Handbook, 2.3.3 (weighted combinations)
///
/// # Examples
/// ```
/// use dyebook_statistics::uncertainty::weighted_mean;
/// let mean = weighted_mean(&[0.452, 0.447, 0.460, 0.455], &[0.004, 0.006, 0.008, 0.005])?;
/// assert!((mean.mean - 0.45273).abs() < 1e-5);
/// # Ok::<(), dyebook_statistics::uncertainty::UncertaintyError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few results")]
pub fn weighted_mean(values: &[f64], u: &[f64]) -> Result<WeightedMean, UncertaintyError> {
    if values.len() != u.len() {
        return Err(UncertaintyError::SizesDiffer {
            left: values.len(),
            right: u.len(),
        });
    }
    require(values, 2)?;
    if let Some(&value) = u.iter().find(|u| !(**u > 0.0 && u.is_finite())) {
        return Err(UncertaintyError::OutOfRange {
            what: "uncertainty",
            value,
        });
    }
    let weights: Vec<f64> = u.iter().map(|u| 1.0 / (u * u)).collect();
    Ok(with_weights(values, &weights, values.len() as f64 - 1.0))
}

fn with_weights(values: &[f64], weights: &[f64], df: f64) -> WeightedMean {
    let sum: f64 = weights.iter().sum();
    let mean = values.iter().zip(weights).map(|(x, w)| w * x).sum::<f64>() / sum;
    let chi_square = values
        .iter()
        .zip(weights)
        .map(|(x, w)| w * (x - mean).powi(2))
        .sum();
    WeightedMean {
        mean,
        u_internal: (1.0 / sum).sqrt(),
        chi_square,
        df,
    }
}

/// A mean that allows a common spread beyond the single uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RandomEffectsMean {
    /// The mean.
    pub mean: f64,
    /// Its standard uncertainty, the spread between results in it.
    pub u: f64,
    /// Variance between results beyond their uncertainties, 0 where none shows.
    pub between_variance: f64,
}

/// Mean of results that may differ by more than their uncertainties.
///
/// # Shape and units
/// As for [`weighted_mean`].
///
/// # Formula
/// ```text
/// τ² = max(0, (χ² - ν) / (Σw - Σw²/Σw)),    then the weighted mean with u² + τ²
/// ```
///
/// # Errors
/// As for [`weighted_mean`].
///
/// # Source
/// DerSimonianLaird1986, Controlled Clin. Trials 7, 177
///
/// # Examples
/// ```
/// use dyebook_statistics::uncertainty::random_effects_mean;
/// let mean = random_effects_mean(&[0.452, 0.431, 0.478, 0.455], &[0.004, 0.006, 0.008, 0.005])?;
/// assert!((mean.u - 0.00763).abs() < 1e-5);
/// # Ok::<(), dyebook_statistics::uncertainty::UncertaintyError>(())
/// ```
pub fn random_effects_mean(
    values: &[f64],
    u: &[f64],
) -> Result<RandomEffectsMean, UncertaintyError> {
    let fixed = weighted_mean(values, u)?;
    let sum: f64 = u.iter().map(|u| 1.0 / (u * u)).sum();
    let squares: f64 = u.iter().map(|u| u.powi(-4)).sum();
    let between_variance = ((fixed.chi_square - fixed.df) / (sum - squares / sum)).max(0.0);
    let weights: Vec<f64> = u.iter().map(|u| 1.0 / (u * u + between_variance)).collect();
    let mean = with_weights(values, &weights, fixed.df);
    if mean.mean.is_finite() {
        Ok(RandomEffectsMean {
            mean: mean.mean,
            u: mean.u_internal,
            between_variance,
        })
    } else {
        Err(SummaryError::NotFinite { index: 0 }.into())
    }
}
