//! Gauss–Legendre quadrature.

use std::f64::consts::PI;
use std::sync::LazyLock;

/// Points of the rule on each panel. 40 points integrate polynomials up to degree 79 exactly.
const POINTS: usize = 40;

/// Nodes and weights on [-1, 1].
static RULE: LazyLock<[(f64, f64); POINTS]> = LazyLock::new(rule);

/// Newton iterations on the Legendre polynomial from the usual cosine start.
#[expect(clippy::cast_precision_loss, reason = "POINTS is small")]
fn rule() -> [(f64, f64); POINTS] {
    let mut nodes = [(0.0, 0.0); POINTS];
    for (i, node) in nodes.iter_mut().enumerate() {
        let mut x = (PI * (i as f64 + 0.75) / (POINTS as f64 + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..100 {
            let (mut before, mut value) = (1.0, x);
            for k in 2..=POINTS {
                let k = k as f64;
                (before, value) = (
                    value,
                    ((2.0 * k - 1.0) * x * value - (k - 1.0) * before) / k,
                );
            }
            slope = POINTS as f64 * (x * value - before) / (x * x - 1.0);
            let step = value / slope;
            x -= step;
            if step.abs() < 1e-16 {
                break;
            }
        }
        *node = (x, 2.0 / ((1.0 - x * x) * slope * slope));
    }
    nodes
}

/// Integral of `f` from `low` to `high` in `panels` equal panels.
#[expect(clippy::cast_precision_loss, reason = "the number of panels is small")]
pub(crate) fn integrate(low: f64, high: f64, panels: usize, mut f: impl FnMut(f64) -> f64) -> f64 {
    let half = (high - low) / panels as f64 / 2.0;
    let mut sum = 0.0;
    for panel in 0..panels {
        let middle = low + half * (2 * panel + 1) as f64;
        for (node, weight) in RULE.iter() {
            sum += weight * f(middle + half * node);
        }
    }
    sum * half
}

#[cfg(test)]
mod tests {
    use super::integrate;

    #[test]
    fn a_polynomial_of_degree_seventy_is_exact() {
        assert!((integrate(0.0, 1.0, 1, |x| x.powi(70)) - 1.0 / 71.0).abs() < 1e-15);
    }

    #[test]
    fn the_normal_density_integrates_to_one() {
        let density = |z: f64| (-z * z / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
        assert!((integrate(-9.0, 9.0, 4, density) - 1.0).abs() < 1e-14);
    }
}
