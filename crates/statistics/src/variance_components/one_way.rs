//! One-way layout: groups, and values inside them.

use super::VarianceError;
use crate::summary::compensated_sum;

/// Analysis of variance of a one-way layout.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneWay {
    /// Mean of all values, each counting once.
    pub mean: f64,
    /// Groups less one.
    pub df_between: f64,
    /// Values less groups.
    pub df_within: f64,
    /// Sum of squares between groups.
    pub ss_between: f64,
    /// Sum of squares within groups.
    pub ss_within: f64,
    /// Effective number of values a group, `(N - Σn²/N) / (p - 1)`.
    pub values_per_group: f64,
}

impl OneWay {
    /// Mean square between groups.
    ///
    /// # Formula
    /// ```text
    /// SS_between / (p - 1)
    /// ```
    ///
    /// # Source
    /// NIST-Handbook, 7.4.3.3
    pub fn ms_between(&self) -> f64 {
        self.ss_between / self.df_between
    }

    /// Mean square within groups.
    ///
    /// # Formula
    /// ```text
    /// SS_within / (N - p)
    /// ```
    ///
    /// # Source
    /// NIST-Handbook, 7.4.3.3
    pub fn ms_within(&self) -> f64 {
        self.ss_within / self.df_within
    }

    /// Ratio of the mean squares.
    ///
    /// # Formula
    /// ```text
    /// F = MS_between / MS_within
    /// ```
    ///
    /// # Source
    /// NIST-Handbook, 7.4.3.3
    pub fn f(&self) -> f64 {
        self.ms_between() / self.ms_within()
    }

    /// Share of the total sum of squares that lies between groups.
    ///
    /// # Formula
    /// ```text
    /// R² = SS_between / (SS_between + SS_within)
    /// ```
    ///
    /// # Source
    /// NIST-StRD, analysis of variance
    pub fn r_squared(&self) -> f64 {
        self.ss_between / (self.ss_between + self.ss_within)
    }

    /// Variance between groups as the analysis of variance gives it, which may be negative.
    ///
    /// # Formula
    /// ```text
    /// σ²_between = (MS_between - MS_within) / n0
    /// ```
    ///
    /// A negative value says that the groups differ less than their inside would make them; set it
    /// to 0 only openly.
    ///
    /// # Source
    /// ISO5725-2, 7.4.5; SearleCasellaMcCulloch1992, 3.6
    pub fn between_variance(&self) -> f64 {
        (self.ms_between() - self.ms_within()) / self.values_per_group
    }
}

/// Analysis of variance of values in groups, balanced or not.
///
/// # Shape and units
/// At least two groups, none empty, at least one holding two values. Sums of squares have the
/// squared unit of the values.
///
/// # Formula
/// ```text
/// SS_between = Σ n_i (ȳ_i - ȳ)²      SS_within = ΣΣ (y_ij - ȳ_i)²
/// ```
///
/// In two passes about a pivot near the data, with compensated sums: NIST's SmLs07 to SmLs09 have
/// 13 constant leading digits, and `Σy² - (Σy)²/N` returns noise there.
///
/// # Errors
/// [`VarianceError::TooFew`], [`VarianceError::Empty`], [`VarianceError::NotFinite`],
/// [`VarianceError::NothingRepeated`].
///
/// # Source
/// NIST-StRD, analysis of variance; NIST-Handbook, 7.4.3.3
///
/// # Examples
/// ```
/// use dyebook_statistics::variance_components::one_way;
/// let table = one_way(&[vec![0.41, 0.42], vec![0.44, 0.45], vec![0.40, 0.41]])?;
/// assert!((table.ms_within() - 0.00005).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::variance_components::VarianceError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 values")]
pub fn one_way(groups: &[Vec<f64>]) -> Result<OneWay, VarianceError> {
    check(groups)?;
    let pivot = groups[0][0];
    let count = |group: &Vec<f64>| group.len() as f64;
    let total: f64 = groups.iter().map(count).sum();
    let (p, squares) = (
        groups.len() as f64,
        groups.iter().map(|g| count(g).powi(2)).sum::<f64>(),
    );
    // means of the differences from the pivot, which keep the digits that differ
    let means: Vec<f64> = groups
        .iter()
        .map(|group| compensated_sum(group.iter().map(|value| value - pivot)) / count(group))
        .collect();
    let overall = compensated_sum(
        groups
            .iter()
            .zip(&means)
            .map(|(group, mean)| count(group) * mean),
    ) / total;
    let ss_between = compensated_sum(
        groups
            .iter()
            .zip(&means)
            .map(|(group, mean)| count(group) * (mean - overall).powi(2)),
    );
    let ss_within = compensated_sum(groups.iter().zip(&means).flat_map(|(group, mean)| {
        group
            .iter()
            .map(move |value| ((value - pivot) - mean).powi(2))
    }));
    Ok(OneWay {
        mean: pivot + overall,
        df_between: p - 1.0,
        df_within: total - p,
        ss_between,
        ss_within,
        values_per_group: (total - squares / total) / (p - 1.0),
    })
}

fn check(groups: &[Vec<f64>]) -> Result<(), VarianceError> {
    let level = "group";
    if groups.len() < 2 {
        return Err(VarianceError::TooFew {
            level,
            needed: 2,
            found: groups.len(),
        });
    }
    if let Some(index) = groups.iter().position(Vec::is_empty) {
        return Err(VarianceError::Empty { level, index });
    }
    if let Some(index) = groups
        .iter()
        .position(|group| group.iter().any(|v| !v.is_finite()))
    {
        return Err(VarianceError::NotFinite { level, index });
    }
    if groups.iter().all(|group| group.len() < 2) {
        return Err(VarianceError::NothingRepeated { level });
    }
    Ok(())
}
