//! The straight line with errors in `y` only.

use super::FitError;
use super::fit_error::{check, check_uncertainties};
use crate::summary::compensated_sum;

/// A fitted straight line with the covariance of its parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Value at `x = 0`.
    pub intercept: f64,
    /// Rise per unit of `x`.
    pub slope: f64,
    /// Standard uncertainty of the intercept.
    pub u_intercept: f64,
    /// Standard uncertainty of the slope.
    pub u_slope: f64,
    /// Covariance of intercept and slope.
    pub covariance: f64,
    /// Sum of squared residuals in units of the uncertainties (of 1 for an unweighted fit).
    pub chi_square: f64,
    /// Degrees of freedom: points less two.
    pub df: f64,
    /// Share of the (weighted) sum of squares about the mean that the line explains.
    pub r_squared: f64,
}

/// A value read from a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Predicted {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty.
    pub u: f64,
}

impl Line {
    /// The line's value at `x`.
    ///
    /// # Formula
    /// ```text
    /// y = a + b x      u² = u_a² + 2 x cov(a,b) + x² u_b²
    /// ```
    ///
    /// # Source
    /// JCGM100, H.3.4
    pub fn predict(&self, x: f64) -> Predicted {
        let variance =
            self.u_intercept.powi(2) + 2.0 * x * self.covariance + (x * self.u_slope).powi(2);
        Predicted {
            value: self.intercept + self.slope * x,
            u: variance.max(0.0).sqrt(),
        }
    }

    /// The `x` at which the line reaches `y`, itself known to `u_y`.
    ///
    /// # Formula
    /// ```text
    /// x = (y - a) / b      u² = [ u_y² + u_a² + 2 x cov(a,b) + x² u_b² ] / b²
    /// ```
    ///
    /// To first order; good while `u_slope` is a small part of the slope.
    ///
    /// # Errors
    /// [`FitError::Level`] where the slope is 0.
    ///
    /// # Source
    /// JCGM100, 5.2.2
    pub fn inverse(&self, y: f64, u_y: f64) -> Result<Predicted, FitError> {
        if self.slope == 0.0 {
            return Err(FitError::Level);
        }
        let value = (y - self.intercept) / self.slope;
        Ok(Predicted {
            value,
            u: (u_y.hypot(self.predict(value).u) / self.slope).abs(),
        })
    }

    /// The line with uncertainties scaled by what the residuals show.
    ///
    /// # Formula
    /// ```text
    /// u := u · √(χ² / ν)
    /// ```
    ///
    /// For uncertainties known only up to a common factor. Needs at least three points; with two
    /// the residuals show nothing and the uncertainties become 0/0.
    ///
    /// # Source
    /// York2004, section III (scaling by the goodness of fit)
    #[must_use]
    pub fn scaled(&self) -> Self {
        let factor = self.chi_square / self.df;
        Self {
            u_intercept: self.u_intercept * factor.sqrt(),
            u_slope: self.u_slope * factor.sqrt(),
            covariance: self.covariance * factor,
            ..*self
        }
    }
}

/// Ordinary least-squares line, its uncertainties from the residuals.
///
/// # Shape and units
/// At least three points, not all at one `x`.
///
/// # Formula
/// ```text
/// b = Σ(x-x̄)(y-ȳ) / Σ(x-x̄)²    a = ȳ - b x̄    s² = Σ(y - a - b x)² / (n-2)
/// ```
///
/// # Errors
/// [`FitError::LengthsDiffer`], [`FitError::Point`], [`FitError::TooFew`],
/// [`FitError::Undetermined`].
///
/// # Source
/// NIST-StRD, linear regression; JCGM100, H.3
///
/// # Examples
/// ```
/// use dyebook_statistics::least_squares::line;
/// let fit = line(&[0.0, 1.0, 2.0], &[1.0, 3.1, 4.9])?;
/// assert!((fit.slope - 1.95).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::least_squares::FitError>(())
/// ```
pub fn line(x: &[f64], y: &[f64]) -> Result<Line, FitError> {
    check(x, y, 3)?;
    Ok(weighted_line(x, y, &vec![1.0; x.len()])?.scaled())
}

/// Weighted least-squares line with known uncertainties of `y`.
///
/// # Shape and units
/// At least two points, not all at one `x`; `u` above 0, in the unit of `y`.
///
/// # Formula
/// ```text
/// w = 1/u²   x̄ = Σwx/Σw   b = Σw(x-x̄)(y-ȳ)/Σw(x-x̄)²   a = ȳ - b x̄
/// u_b² = 1/Σw(x-x̄)²   u_a² = 1/Σw + x̄² u_b²   cov = -x̄ u_b²   χ² = Σw(y - a - b x)²
/// ```
///
/// The uncertainties follow from `u`, not from the residuals: see [`Line::scaled`] for the other.
///
/// # Errors
/// As for [`line()`].
///
/// # Source
/// York2004, special case without errors in x
///
/// # Examples
/// ```
/// use dyebook_statistics::least_squares::weighted_line;
/// let standards = weighted_line(&[0.2, 0.5, 0.8], &[0.215, 0.508, 0.835], &[0.01, 0.005, 0.02])?;
/// assert!((standards.slope - 1.005).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::least_squares::FitError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few points")]
pub fn weighted_line(x: &[f64], y: &[f64], u: &[f64]) -> Result<Line, FitError> {
    check(x, y, 2)?;
    check_uncertainties(x, u)?;
    let points = || {
        x.iter()
            .zip(y)
            .zip(u)
            .map(|((x, y), u)| (*x, *y, 1.0 / (u * u)))
    };
    let weights = compensated_sum(points().map(|(_, _, w)| w));
    let x_mean = compensated_sum(points().map(|(x, _, w)| w * x)) / weights;
    let y_mean = compensated_sum(points().map(|(_, y, w)| w * y)) / weights;
    let xx = compensated_sum(points().map(|(x, _, w)| w * (x - x_mean).powi(2)));
    let xy = compensated_sum(points().map(|(x, y, w)| w * (x - x_mean) * (y - y_mean)));
    let yy = compensated_sum(points().map(|(_, y, w)| w * (y - y_mean).powi(2)));
    if xx <= 0.0 {
        return Err(FitError::Undetermined);
    }
    let slope = xy / xx;
    let chi_square = compensated_sum(
        points().map(|(x, y, w)| w * ((y - y_mean) - slope * (x - x_mean)).powi(2)),
    );
    Ok(Line {
        intercept: y_mean - slope * x_mean,
        slope,
        u_intercept: (1.0 / weights + x_mean * x_mean / xx).sqrt(),
        u_slope: (1.0 / xx).sqrt(),
        covariance: -x_mean / xx,
        chi_square,
        df: x.len() as f64 - 2.0,
        r_squared: if yy > 0.0 { 1.0 - chi_square / yy } else { 1.0 },
    })
}
