//! Repeatability and reproducibility of an interlaboratory trial.

use super::{MeanSquare, OneWay, VarianceError, one_way, satterthwaite_df};

/// Precision figures of one level of an interlaboratory trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Precision {
    /// The analysis of variance behind the figures.
    pub table: OneWay,
    /// Repeatability standard deviation s_r.
    pub repeatability_sd: f64,
    /// Between-laboratory standard deviation s_L, 0 where its variance came out negative.
    pub between_sd: f64,
    /// Whether the between-laboratory variance came out negative and was set to 0.
    pub between_set_to_zero: bool,
    /// Reproducibility standard deviation s_R.
    pub reproducibility_sd: f64,
    /// Effective degrees of freedom of s_R², before setting anything to 0; `None` where undefined.
    pub reproducibility_df: Option<f64>,
}

/// Repeatability and reproducibility from the results of several laboratories.
///
/// # Shape and units
/// One list of results a laboratory; at least two laboratories, one of them with two results.
/// Standard deviations in the unit of the results.
///
/// # Formula
/// ```text
/// s_r² = MS_within    s_L² = max(0, (MS_between - MS_within) / n0)    s_R² = s_r² + s_L²
/// n0 = (N - Σ n_i² / N) / (p - 1)
/// ν(s_R²) by Satterthwaite of  MS_between / n0 + (1 - 1/n0) MS_within
/// ```
///
/// # Errors
/// Those of [`one_way`].
///
/// # Source
/// ISO5725-2, 7.4.4 and 7.4.5
///
/// # Examples
/// ```
/// use dyebook_statistics::variance_components::precision;
/// let trial = precision(&[vec![0.41, 0.43], vec![0.46, 0.44], vec![0.39, 0.41]])?;
/// assert!(trial.reproducibility_sd > trial.repeatability_sd);
/// # Ok::<(), dyebook_statistics::variance_components::VarianceError>(())
/// ```
pub fn precision(laboratories: &[Vec<f64>]) -> Result<Precision, VarianceError> {
    let table = one_way(laboratories)?;
    let within = table.ms_within();
    let between = table.between_variance();
    let n0 = table.values_per_group;
    let square = |value, df| MeanSquare { value, df };
    let df = satterthwaite_df(&[
        (1.0 / n0, square(table.ms_between(), table.df_between)),
        (1.0 - 1.0 / n0, square(within, table.df_within)),
    ]);
    Ok(Precision {
        table,
        repeatability_sd: within.sqrt(),
        between_sd: between.max(0.0).sqrt(),
        between_set_to_zero: between < 0.0,
        reproducibility_sd: (within + between.max(0.0)).sqrt(),
        reproducibility_df: df.ok(),
    })
}
