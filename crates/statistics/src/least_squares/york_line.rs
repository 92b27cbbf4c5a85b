//! The straight line with errors in both coordinates.

use super::fit_error::{check, check_uncertainties};
use super::{FitError, Line, weighted_line};

const STEPS: usize = 200;

/// Straight line through points with known, uncorrelated uncertainties in `x` and `y`.
///
/// # Shape and units
/// At least three points, not all at one `x`; uncertainties above 0, each in its coordinate's unit.
///
/// # Formula
/// ```text
/// W = 1 / (u_y² + b² u_x²)    U = x - x̄    V = y - ȳ    (x̄, ȳ weighted by W)
/// β = W (U u_y² + b V u_x²)    b := Σ W β V / Σ W β U    a = ȳ - b x̄
/// u_b² = 1 / Σ W (x̄ + β - x̂)²    u_a² = 1/ΣW + x̂² u_b²    x̂ = Σ W (x̄ + β) / ΣW
/// ```
///
/// Iterated until the slope stands; `chi_square` is Σ W (y - a - b x)². Uncertainties are not
/// scaled by it. `r_squared` is that of the line weighted in `y` alone.
///
/// # Errors
/// As for [`weighted_line`], and [`FitError::NotSettled`].
///
/// # Source
/// York2004, Am. J. Phys. 72, 367, section III
///
/// # Examples
/// ```
/// use dyebook_statistics::least_squares::york_line;
/// let fit = york_line(&[0.1, 0.5, 0.9], &[0.1, 0.5, 0.9], &[0.01; 3], &[0.01; 3])?;
/// assert!((fit.slope - 1.0).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::least_squares::FitError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few points")]
pub fn york_line(x: &[f64], y: &[f64], u_x: &[f64], u_y: &[f64]) -> Result<Line, FitError> {
    check(x, y, 3)?;
    check_uncertainties(x, u_x)?;
    let start = weighted_line(x, y, u_y)?;
    let points: Vec<[f64; 4]> = (0..x.len())
        .map(|i| [x[i], y[i], u_x[i].powi(2), u_y[i].powi(2)])
        .collect();
    let mut slope = start.slope;
    for _ in 0..STEPS {
        let step = Step::at(slope, &points);
        let moved = step.slope - slope;
        slope = step.slope;
        if moved.abs() <= 1e-15 * slope.abs().max(f64::MIN_POSITIVE) {
            break;
        }
    }
    let last = Step::at(slope, &points);
    let unrest = (last.slope - slope).abs();
    if unrest.is_nan() || unrest > 1e-9 * slope.abs().max(1e-300) {
        return Err(FitError::NotSettled { steps: STEPS });
    }
    let intercept = last.y_mean - slope * last.x_mean;
    let weights: f64 = last.weights.iter().sum();
    let adjusted: Vec<f64> = last.beta.iter().map(|beta| last.x_mean + beta).collect();
    let centre = last
        .weights
        .iter()
        .zip(&adjusted)
        .map(|(w, x)| w * x)
        .sum::<f64>()
        / weights;
    let spread: f64 = last
        .weights
        .iter()
        .zip(&adjusted)
        .map(|(w, x)| w * (x - centre).powi(2))
        .sum();
    let chi_square = last
        .weights
        .iter()
        .zip(&points)
        .map(|(w, [x, y, ..])| w * (y - intercept - slope * x).powi(2));
    Ok(Line {
        intercept,
        slope,
        u_intercept: (1.0 / weights + centre * centre / spread).sqrt(),
        u_slope: (1.0 / spread).sqrt(),
        covariance: -centre / spread,
        chi_square: chi_square.sum(),
        df: x.len() as f64 - 2.0,
        r_squared: start.r_squared,
    })
}

/// One round of the iteration, with everything it computed on the way.
struct Step {
    slope: f64,
    x_mean: f64,
    y_mean: f64,
    weights: Vec<f64>,
    beta: Vec<f64>,
}

impl Step {
    fn at(slope: f64, points: &[[f64; 4]]) -> Self {
        let weights: Vec<f64> = points
            .iter()
            .map(|[_, _, vx, vy]| 1.0 / (vy + slope * slope * vx))
            .collect();
        let sum: f64 = weights.iter().sum();
        let weighted = |k: usize| {
            weights
                .iter()
                .zip(points)
                .map(|(w, point)| w * point[k])
                .sum::<f64>()
                / sum
        };
        let (x_mean, y_mean) = (weighted(0), weighted(1));
        let beta: Vec<f64> = weights
            .iter()
            .zip(points)
            .map(|(w, [x, y, vx, vy])| w * ((x - x_mean) * vy + slope * (y - y_mean) * vx))
            .collect();
        let (mut above, mut below) = (0.0, 0.0);
        for ((w, beta), [x, y, ..]) in weights.iter().zip(&beta).zip(points) {
            above += w * beta * (y - y_mean);
            below += w * beta * (x - x_mean);
        }
        Self {
            slope: above / below,
            x_mean,
            y_mean,
            weights,
            beta,
        }
    }
}
