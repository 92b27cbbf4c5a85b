//! Constants that turn mean ranges and mean SDs into control limits.

use std::f64::consts::PI;

use statrs::function::gamma::ln_gamma;

use super::ChartError;
use crate::distribution::normal_cdf;
use crate::numerics::integrate;

/// Constants for samples of one size from a normal population.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChartConstants {
    /// Mean of the range in SDs.
    pub d2: f64,
    /// Standard deviation of the range in SDs.
    pub d3: f64,
    /// Mean of the sample SD in SDs.
    pub c4: f64,
    /// Limits of the mean from the mean range: `3 / (d2 √n)`.
    pub a2: f64,
    /// Limits of the mean from the mean SD: `3 / (c4 √n)`.
    pub a3: f64,
    /// Lower limit of the SD from the mean SD.
    pub b3: f64,
    /// Upper limit of the SD from the mean SD.
    pub b4: f64,
    /// Lower limit of the range from the mean range (printed as D3).
    pub range_low: f64,
    /// Upper limit of the range from the mean range (printed as D4).
    pub range_high: f64,
    /// Limits of single values from the mean range: `3 / d2`.
    pub e2: f64,
}

/// Constants of a control chart for samples of `n` values.
///
/// # Shape and units
/// `n` from 2 to 1,000; all constants without unit.
///
/// # Formula
/// ```text
/// c4 = √(2/(n-1)) Γ(n/2)/Γ((n-1)/2)        d2 = ∫ [1 - Φⁿ - (1-Φ)ⁿ] dx
/// d3² = 2 ∫ r P(R > r) dr - d2²            P(R ≤ r) = n ∫ φ(x) [Φ(x+r) - Φ(x)]ⁿ⁻¹ dx
/// A2 = 3/(d2√n)   A3 = 3/(c4√n)   B3,B4 = max(0, 1 ∓ 3√(1-c4²)/c4)
/// D3,D4 = max(0, 1 ∓ 3 d3/d2)   E2 = 3/d2
/// ```
///
/// By quadrature to about 1e-10, where printed tables stop at three decimals.
///
/// # Errors
/// [`ChartError::SampleSize`].
///
/// # Source
/// Montgomery, appendix VI (table); NIST-Handbook, 6.3.2
///
/// # Examples
/// ```
/// use dyebook_statistics::control_charts::chart_constants;
/// let pairs = chart_constants(2)?;
/// assert!((pairs.d2 - 1.128).abs() < 5e-4 && (pairs.c4 - 0.7979).abs() < 5e-5);
/// # Ok::<(), dyebook_statistics::control_charts::ChartError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "n is at most 1,000")]
pub fn chart_constants(n: usize) -> Result<ChartConstants, ChartError> {
    if !(2..=1000).contains(&n) {
        return Err(ChartError::SampleSize { size: n });
    }
    let size = n as f64;
    let c4 = (2.0 / (size - 1.0)).sqrt()
        * (ln_gamma(size / 2.0) - ln_gamma(f64::midpoint(size, -1.0))).exp();
    let d2 = integrate(-9.0, 9.0, 6, |x| {
        1.0 - normal_cdf(x).powf(size) - normal_cdf(-x).powf(size)
    });
    let square = 2.0 * integrate(0.0, 16.0, 4, |r| r * range_survival(r, size));
    let d3 = (square - d2 * d2).sqrt();
    let of_sd = 3.0 * (1.0 - c4 * c4).sqrt() / c4;
    let of_range = 3.0 * d3 / d2;
    Ok(ChartConstants {
        d2,
        d3,
        c4,
        a2: 3.0 / (d2 * size.sqrt()),
        a3: 3.0 / (c4 * size.sqrt()),
        b3: (1.0 - of_sd).max(0.0),
        b4: 1.0 + of_sd,
        range_low: (1.0 - of_range).max(0.0),
        range_high: 1.0 + of_range,
        e2: 3.0 / d2,
    })
}

/// P(R > r) for the range of `n` standard normal values.
fn range_survival(r: f64, n: f64) -> f64 {
    let density = |x: f64| (-x * x / 2.0).exp() / (2.0 * PI).sqrt();
    // about the middle of the range the integrand is symmetric and smooth
    1.0 - n * integrate(-9.0, 9.0, 6, |x| {
        density(x) * (normal_cdf(x + r) - normal_cdf(x)).powf(n - 1.0)
    })
}
