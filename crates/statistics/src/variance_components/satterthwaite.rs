//! Degrees of freedom of a sum of mean squares.

use super::{MeanSquare, VarianceError};

/// Effective degrees of freedom of a linear combination of independent mean squares.
///
/// # Shape and units
/// Pairs of coefficient and mean square. Terms whose coefficient or value is 0 say nothing and are
/// left out. The result is whole only by chance; infinity never arises here.
///
/// # Formula
/// ```text
/// ν = (Σ a_k MS_k)² / Σ [ (a_k MS_k)² / ν_k ]
/// ```
///
/// Good while the coefficients are positive; with a negative one it can say too much, and the sum
/// may be negative: then [`VarianceError::OutOfRange`].
///
/// # Errors
/// [`VarianceError::OutOfRange`] where the combination is not above 0 or a contributing mean square
/// has no degrees of freedom.
///
/// # Source
/// Satterthwaite1946, Biometrics Bulletin 2, 110–114
///
/// # Examples
/// ```
/// use dyebook_statistics::variance_components::{MeanSquare, satterthwaite_df};
/// let a = MeanSquare { value: 2.0, df: 4.0 };
/// assert!((satterthwaite_df(&[(1.0, a), (1.0, a)])? - 8.0).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::variance_components::VarianceError>(())
/// ```
pub fn satterthwaite_df(terms: &[(f64, MeanSquare)]) -> Result<f64, VarianceError> {
    let mut sum = 0.0;
    let mut spread = 0.0;
    for (coefficient, square) in terms {
        let part = coefficient * square.value;
        if part == 0.0 {
            continue;
        }
        if square.df <= 0.0 || !part.is_finite() {
            let what = "degrees of freedom of a mean square";
            return Err(VarianceError::OutOfRange {
                what,
                value: square.df,
            });
        }
        sum += part;
        spread += part * part / square.df;
    }
    if sum > 0.0 && spread > 0.0 {
        Ok(sum * sum / spread)
    } else {
        Err(VarianceError::OutOfRange {
            what: "combination of mean squares",
            value: sum,
        })
    }
}
