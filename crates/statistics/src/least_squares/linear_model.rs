//! Any model linear in its coefficients.

use super::FitError;
use crate::summary::compensated_sum;

/// A fitted linear model.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearModel {
    /// One coefficient a column.
    pub coefficients: Vec<f64>,
    /// Standard error of each, from the residuals.
    pub standard_errors: Vec<f64>,
    /// Residual standard deviation.
    pub residual_sd: f64,
    /// Degrees of freedom of the regression: columns, the constant one apart.
    pub df_regression: f64,
    /// Degrees of freedom of the residuals: points less columns.
    pub df_residual: f64,
    /// Sum of squares of the regression, about the mean where a column is constant.
    pub ss_regression: f64,
    /// Sum of squares of the residuals.
    pub ss_residual: f64,
}

impl LinearModel {
    /// Share of the sum of squares that the model explains.
    ///
    /// # Formula
    /// ```text
    /// R² = SS_regression / (SS_regression + SS_residual)
    /// ```
    ///
    /// Without a constant column about 0, not about the mean: don't compare the two.
    ///
    /// # Source
    /// NIST-StRD, linear regression
    pub fn r_squared(&self) -> f64 {
        self.ss_regression / (self.ss_regression + self.ss_residual)
    }

    /// F ratio of the regression.
    ///
    /// # Formula
    /// ```text
    /// F = (SS_regression / ν_regression) / (SS_residual / ν_residual)
    /// ```
    ///
    /// # Source
    /// NIST-StRD, linear regression
    pub fn f(&self) -> f64 {
        (self.ss_regression / self.df_regression) / (self.ss_residual / self.df_residual)
    }
}

/// Ordinary least squares for any columns, by Householder's orthogonal reduction.
///
/// # Shape and units
/// `columns[k][i]` is term `k` at point `i`; a constant term is a column of ones. More points than
/// columns, columns independent.
///
/// # Formula
/// ```text
/// Q R = X,    R β = Qᵀ y,    Cov β = s² (RᵀR)⁻¹
/// ```
///
/// Columns are scaled to length 1 first: NIST's Pontius has x² near 1e13 beside 1, and the normal
/// equations `XᵀX β = Xᵀy` lose half of its digits.
///
/// # Errors
/// [`FitError::LengthsDiffer`], [`FitError::Point`], [`FitError::TooFew`],
/// [`FitError::Undetermined`].
///
/// # Source
/// NIST-StRD, linear regression (certified values); Golub1965
///
/// # Examples
/// ```
/// use dyebook_statistics::least_squares::linear_model;
/// let x = [4.0, 5.0, 6.0];
/// let through_zero = linear_model(&[x.to_vec()], &[3.0, 4.0, 4.0])?;
/// assert!((through_zero.coefficients[0] - 8.0 / 11.0).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::least_squares::FitError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few points")]
pub fn linear_model(columns: &[Vec<f64>], y: &[f64]) -> Result<LinearModel, FitError> {
    let (p, n) = (columns.len(), y.len());
    check(columns, y)?;
    let lengths: Vec<f64> = columns.iter().map(|column| norm(column)).collect();
    let mut q: Vec<Vec<f64>> = columns
        .iter()
        .zip(&lengths)
        .map(|(column, length)| column.iter().map(|value| value / length).collect())
        .collect();
    let mut right = y.to_vec();
    for k in 0..p {
        reflect(&mut q, &mut right, k)?;
    }
    let scaled = back_substitute(&q, &right);
    let ss_residual = compensated_sum(right[p..].iter().map(|r| r * r));
    let df_residual = (n - p) as f64;
    let s = (ss_residual / df_residual).sqrt();
    let rows = inverse_row_norms(&q);
    #[expect(
        clippy::float_cmp,
        reason = "a constant column holds one and the same number"
    )]
    let constant = columns
        .iter()
        .any(|column| column.iter().all(|value| *value == column[0]));
    let centre = if constant {
        compensated_sum(y.iter().copied()) / n as f64
    } else {
        0.0
    };
    let total = compensated_sum(y.iter().map(|value| (value - centre).powi(2)));
    Ok(LinearModel {
        standard_errors: rows
            .iter()
            .zip(&lengths)
            .map(|(row, l)| s * row / l)
            .collect(),
        coefficients: scaled
            .iter()
            .zip(&lengths)
            .map(|(b, length)| b / length)
            .collect(),
        residual_sd: s,
        df_regression: p as f64 - if constant { 1.0 } else { 0.0 },
        df_residual,
        ss_regression: total - ss_residual,
        ss_residual,
    })
}

fn check(columns: &[Vec<f64>], y: &[f64]) -> Result<(), FitError> {
    if columns.is_empty() || y.len() <= columns.len() {
        return Err(FitError::TooFew {
            needed: columns.len() + 1,
            found: y.len(),
        });
    }
    for column in columns {
        super::fit_error::check(column, y, 1)?;
        if norm(column) == 0.0 {
            return Err(FitError::Undetermined);
        }
    }
    Ok(())
}

fn norm(values: &[f64]) -> f64 {
    compensated_sum(values.iter().map(|value| value * value)).sqrt()
}

/// Reflects columns `k..` and the right side so that column `k` ends at row `k`.
fn reflect(q: &mut [Vec<f64>], right: &mut [f64], k: usize) -> Result<(), FitError> {
    let length = norm(&q[k][k..]);
    // columns have length 1, so this is relative
    if length < 1e-12 {
        return Err(FitError::Undetermined);
    }
    let mut v = q[k][k..].to_vec();
    v[0] += length.copysign(v[0]);
    let squared: f64 = v.iter().map(|value| value * value).sum();
    let apply = |column: &mut [f64]| {
        let along = compensated_sum(column.iter().zip(&v).map(|(c, v)| c * v)) * 2.0 / squared;
        for (c, v) in column.iter_mut().zip(&v) {
            *c -= along * v;
        }
    };
    for column in &mut q[k..] {
        apply(&mut column[k..]);
    }
    apply(&mut right[k..]);
    Ok(())
}

/// Solves R β = right; `q[j][i]` holds R(i, j).
fn back_substitute(q: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let p = q.len();
    let mut solution = vec![0.0; p];
    for i in (0..p).rev() {
        let known: f64 = (i + 1..p).map(|j| q[j][i] * solution[j]).sum();
        solution[i] = (right[i] - known) / q[i][i];
    }
    solution
}

/// Lengths of the rows of R⁻¹: standard errors in units of the residual standard deviation.
fn inverse_row_norms(q: &[Vec<f64>]) -> Vec<f64> {
    let p = q.len();
    let mut squares = vec![0.0; p];
    for unit in 0..p {
        let right: Vec<f64> = (0..p).map(|i| if i == unit { 1.0 } else { 0.0 }).collect();
        for (square, value) in squares.iter_mut().zip(back_substitute(q, &right)) {
            *square += value * value;
        }
    }
    squares.into_iter().map(f64::sqrt).collect()
}
