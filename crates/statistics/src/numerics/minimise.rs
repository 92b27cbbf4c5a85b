//! The lowest point of a smooth function of a few variables.

/// Lowest point of `f` from `start`, by the simplex method of Nelder and Mead (1965), started again
/// from what it found until a fresh simplex finds nothing lower.
///
/// Derivative-free on purpose: a variance component at its limit of 0 has none there.
pub(crate) fn minimise<const N: usize>(
    f: impl Fn(&[f64; N]) -> f64,
    start: [f64; N],
    step: [f64; N],
) -> [f64; N] {
    let mut best = start;
    let mut value = f(&best);
    let mut step = step;
    for _ in 0..20 {
        let (next, next_value) = simplex(&f, best, step);
        let gained = value - next_value;
        (best, value) = (next, next_value);
        if gained.abs() <= 1e-13 * (1.0 + value.abs()) {
            break;
        }
        step = step.map(|s| s / 4.0);
    }
    best
}

fn simplex<const N: usize>(
    f: &impl Fn(&[f64; N]) -> f64,
    start: [f64; N],
    step: [f64; N],
) -> ([f64; N], f64) {
    let mut corners: Vec<([f64; N], f64)> = vec![(start, f(&start))];
    for k in 0..N {
        let mut corner = start;
        corner[k] += step[k];
        corners.push((corner, f(&corner)));
    }
    for _ in 0..400 * N {
        corners.sort_by(|a, b| a.1.total_cmp(&b.1));
        let (lowest, highest) = (corners[0].1, corners[N].1);
        let width = (0..N)
            .map(|k| (corners[N].0[k] - corners[0].0[k]).abs() / (1e-12 + corners[0].0[k].abs()))
            .fold(0.0, f64::max);
        if width < 1e-11 || (highest - lowest == 0.0 && width < 1e-6) {
            break;
        }
        improve_worst(f, &mut corners);
    }
    corners.sort_by(|a, b| a.1.total_cmp(&b.1));
    corners[0]
}

/// One step: reflect, expand, contract or shrink.
#[expect(clippy::cast_precision_loss, reason = "N is a handful")]
fn improve_worst<const N: usize>(f: &impl Fn(&[f64; N]) -> f64, corners: &mut [([f64; N], f64)]) {
    let mut centre = [0.0; N];
    for (corner, _) in corners.iter().take(N) {
        for k in 0..N {
            centre[k] += corner[k] / N as f64;
        }
    }
    let worst = corners[N];
    let along = |t: f64| {
        let mut point = [0.0; N];
        for k in 0..N {
            point[k] = centre[k] + t * (worst.0[k] - centre[k]);
        }
        (point, f(&point))
    };
    let reflected = along(-1.0);
    if reflected.1 < corners[0].1 {
        let expanded = along(-2.0);
        corners[N] = if expanded.1 < reflected.1 {
            expanded
        } else {
            reflected
        };
    } else if reflected.1 < corners[N - 1].1 {
        corners[N] = reflected;
    } else {
        let contracted = if reflected.1 < worst.1 {
            along(-0.5)
        } else {
            along(0.5)
        };
        if contracted.1 < worst.1.min(reflected.1) {
            corners[N] = contracted;
        } else {
            let best = corners[0].0;
            for corner in corners.iter_mut().skip(1) {
                for (at, towards) in corner.0.iter_mut().zip(best) {
                    *at = f64::midpoint(*at, towards);
                }
                corner.1 = f(&corner.0);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::minimise;

    #[test]
    fn the_bent_valley_of_rosenbrock_is_followed_to_its_end() {
        let valley = |p: &[f64; 2]| 100.0 * (p[1] - p[0] * p[0]).powi(2) + (1.0 - p[0]).powi(2);
        let found = minimise(valley, [-1.2, 1.0], [0.5, 0.5]);
        assert!((found[0] - 1.0).abs() < 1e-6 && (found[1] - 1.0).abs() < 1e-6);
    }
}
