//! Variance shared by several dyes of one method.

use super::{MeanSquare, Nested, VarianceError};

/// Mean squares pooled over dyes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pooled {
    /// Variance of the session means.
    pub sessions: MeanSquare,
    /// Variance of the paper means inside sessions.
    pub papers: MeanSquare,
    /// Variance of the spots on one paper.
    pub spots: MeanSquare,
}

/// How alike dyes behave from session to session (or paper to paper): their mean squared
/// correlation, less what chance gives.
///
/// # Shape and units
/// `deviations[dye]` holds one deviation a session (or paper) in the same order for every dye, each
/// from its own centre; at least two dyes of one length. `df` is the number of independent
/// deviations, above 1. The result lies from 0 (independent) to 1 (the paper moves all dyes alike).
///
/// # Formula
/// ```text
/// r²_de = (Σ x_d x_e)² / (Σ x_d² Σ x_e²)
/// ρ² = (mean r² - 1/ν) / (1 - 1/ν),   cut to 0..1        (E r² = 1/ν where nothing is shared)
/// ```
///
/// # Errors
/// [`VarianceError::TooFew`], [`VarianceError::OutOfRange`] for unequal lengths or `df`.
///
/// # Source
/// OlkinPratt1958 (bias of r², first order)
///
/// # Examples
/// ```
/// use dyebook_statistics::variance_components::squared_correlation;
/// let together = squared_correlation(&[vec![0.02, -0.01, -0.01], vec![0.04, -0.02, -0.02]], 2.0)?;
/// assert!((together - 1.0).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::variance_components::VarianceError>(())
/// ```
pub fn squared_correlation(deviations: &[Vec<f64>], df: f64) -> Result<f64, VarianceError> {
    if deviations.len() < 2 {
        return Err(VarianceError::TooFew {
            level: "dye",
            needed: 2,
            found: deviations.len(),
        });
    }
    if df.is_nan() || df <= 1.0 {
        return Err(VarianceError::OutOfRange {
            what: "degrees of freedom",
            value: df,
        });
    }
    let product = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let (mut sum, mut pairs) = (0.0, 0.0);
    for (d, first) in deviations.iter().enumerate() {
        for second in &deviations[d + 1..] {
            if first.len() != second.len() {
                #[expect(clippy::cast_precision_loss, reason = "a number for a message")]
                let value = second.len() as f64;
                return Err(VarianceError::OutOfRange {
                    what: "length of a dye's series",
                    value,
                });
            }
            let squares = product(first, first) * product(second, second);
            if squares > 0.0 {
                sum += product(first, second).powi(2) / squares;
                pairs += 1.0;
            }
        }
    }
    let by_chance = 1.0 / df;
    let mean = if pairs > 0.0 { sum / pairs } else { by_chance };
    Ok(((mean - by_chance) / (1.0 - by_chance)).clamp(0.0, 1.0))
}

/// Pools the mean squares of several dyes, each counting by its degrees of freedom.
///
/// # Shape and units
/// The mean squares of at least one dye, of designs with about the same papers a session and spots
/// a paper (the expectations differ otherwise). `shared` holds the squared correlations between
/// dyes of sessions, papers and spots, each from 0 to 1: see [`squared_correlation`].
///
/// # Formula
/// ```text
/// MS = Σ ν_d MS_d / Σ ν_d
/// ν  = (Σ ν_d)² / [ (1 - ρ²) Σ ν_d + ρ² (Σ √ν_d)² ]
/// ```
///
/// Dyes that share their papers don't add up their degrees of freedom: with ρ² = 1 seven dyes know
/// as much of the spread between sessions as one. The denominator is the variance of the pooled
/// mean square with `Corr(MS_d, MS_e) = ρ²`, which holds for correlated normal deviations.
///
/// # Errors
/// [`VarianceError::TooFew`] without a dye, [`VarianceError::OutOfRange`] for a correlation.
///
/// # Source
/// Satterthwaite1946 (matching the variance); covariance of mean squares: Isserlis1918
///
/// # Examples
/// ```
/// use dyebook_statistics::variance_components::{nested, pool};
/// let red = nested(&[vec![vec![0.89]], vec![vec![0.99]], vec![vec![0.97]]])?;
/// let blue = nested(&[vec![vec![0.95]], vec![vec![0.93]], vec![vec![0.95]]])?;
/// assert_eq!(pool(&[red, blue], [0.0; 3])?.sessions.df, 4.0);
/// assert!((pool(&[red, blue], [1.0; 3])?.sessions.df - 2.0).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::variance_components::VarianceError>(())
/// ```
pub fn pool(dyes: &[Nested], shared: [f64; 3]) -> Result<Pooled, VarianceError> {
    if dyes.is_empty() {
        return Err(VarianceError::TooFew {
            level: "dye",
            needed: 1,
            found: 0,
        });
    }
    if let Some(&value) = shared.iter().find(|value| !(0.0..=1.0).contains(*value)) {
        return Err(VarianceError::OutOfRange {
            what: "squared correlation",
            value,
        });
    }
    let pooled = |of: fn(&Nested) -> MeanSquare, shared: f64| {
        let squares = || dyes.iter().map(of).filter(|square| square.df > 0.0);
        let df: f64 = squares().map(|square| square.df).sum();
        let roots: f64 = squares().map(|square| square.df.sqrt()).sum();
        let sum: f64 = squares().map(|square| square.df * square.value).sum();
        if df > 0.0 {
            let spread = (1.0 - shared) * df + shared * roots * roots;
            MeanSquare {
                value: sum / df,
                df: df * df / spread,
            }
        } else {
            MeanSquare {
                value: 0.0,
                df: 0.0,
            }
        }
    };
    Ok(Pooled {
        sessions: pooled(|dye| dye.sessions, shared[0]),
        papers: pooled(|dye| dye.papers, shared[1]),
        spots: pooled(|dye| dye.spots, shared[2]),
    })
}

/// One dye's layout with the pooled mean squares in place of its own.
///
/// # Shape and units
/// Centre, counts and coefficients stay the dye's own; pass the result to
/// [`super::nested_components`] or [`super::future_spot`].
///
/// # Formula
/// ```text
/// MS_d := MS,   ν_d := ν
/// ```
///
/// # Source
/// Satterthwaite1946 (the pooled squares stand for the dye's own)
///
/// # Examples
/// ```
/// use dyebook_statistics::variance_components::{future_spot, nested, pool, with_pooled};
/// let red = nested(&[vec![vec![0.89]], vec![vec![0.99]], vec![vec![0.97]]])?;
/// let blue = nested(&[vec![vec![0.95]], vec![vec![0.93]], vec![vec![0.95]]])?;
/// let red = with_pooled(&red, &pool(&[red, blue], [0.0; 3])?);
/// assert!(future_spot(&red, 0.95)?.half_width < 0.15); // alone 0.26
/// # Ok::<(), dyebook_statistics::variance_components::VarianceError>(())
/// ```
#[must_use]
pub fn with_pooled(dye: &Nested, pooled: &Pooled) -> Nested {
    Nested {
        sessions: pooled.sessions,
        papers: pooled.papers,
        spots: pooled.spots,
        ..*dye
    }
}
