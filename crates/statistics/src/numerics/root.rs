//! Roots of monotone functions.

/// Root of a continuous `f` between two points where its signs differ (Brent's method).
///
/// Returns the better end where the signs don't differ.
#[expect(
    clippy::float_cmp,
    reason = "equal function values would divide by zero, near ones not"
)]
pub(crate) fn root_between(mut f: impl FnMut(f64) -> f64, low: f64, high: f64) -> f64 {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa.abs() < fb.abs() {
        (a, b, fa, fb) = (b, a, fb, fa);
    }
    let (mut c, mut fc) = (a, fa);
    let (mut before, mut bisected) = (c, true);
    for _ in 0..200 {
        let tolerance = 2.0 * f64::EPSILON * b.abs() + f64::MIN_POSITIVE;
        if fb == 0.0 || (b - a).abs() <= tolerance {
            break;
        }
        let mut s = if fa != fc && fb != fc {
            a * fb * fc / ((fa - fb) * (fa - fc))
                + b * fa * fc / ((fb - fa) * (fb - fc))
                + c * fa * fb / ((fc - fa) * (fc - fb))
        } else {
            b - fb * (b - a) / (fb - fa)
        };
        let quarter = (3.0 * a + b) / 4.0;
        let outside = !((s > quarter.min(b)) && (s < quarter.max(b)));
        let last = if bisected {
            (b - c).abs()
        } else {
            (c - before).abs()
        };
        bisected = outside || (s - b).abs() >= last / 2.0 || last < tolerance;
        if bisected {
            s = a / 2.0 + b / 2.0;
        }
        let fs = f(s);
        before = c;
        (c, fc) = (b, fb);
        if (fa < 0.0) == (fs < 0.0) {
            (a, fa) = (s, fs);
        } else {
            (b, fb) = (s, fs);
        }
        if fa.abs() < fb.abs() {
            (a, b, fa, fb) = (b, a, fb, fa);
        }
    }
    b
}

/// Root above zero of an `f` that falls from above 0 to below 0 on (0, ∞), in units of `scale`.
pub(crate) fn root_of_falling(mut f: impl FnMut(f64) -> f64, scale: f64) -> f64 {
    let (mut low, mut high) = (scale, scale);
    while f(low) < 0.0 && low > 1e-290 {
        low /= 4.0;
    }
    while f(high) > 0.0 && high < 1e290 {
        high *= 4.0;
    }
    root_between(f, low, high)
}

#[cfg(test)]
mod tests {
    use super::{root_between, root_of_falling};

    #[test]
    fn the_cube_root_of_two_is_found() {
        let root = root_between(|x| x * x * x - 2.0, 0.0, 5.0);
        assert!((root - 1.259_921_049_894_873_2).abs() < 1e-15);
    }

    #[test]
    fn a_root_far_from_the_start_is_found() {
        let root = root_of_falling(|x| 1.0 - x / 3e12, 1.0);
        assert!((root / 3e12 - 1.0).abs() < 1e-14);
    }
}
