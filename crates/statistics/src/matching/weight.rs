//! Weights as they are, and weights as logarithms, behind one face.

/// A weight that can be added and multiplied.
pub(super) trait Weight: Copy {
    const NOTHING: Self;
    const ONE: Self;
    fn of_log(log: f64) -> Self;
    fn ln(self) -> f64;
    fn plus(self, other: Self) -> Self;
    fn times(self, other: Self) -> Self;
    /// `self / total` as a plain number.
    fn share_of(self, total: Self) -> f64;
}

/// Plain numbers: fast, but products below 1e-308 vanish.
impl Weight for f64 {
    const NOTHING: Self = 0.0;
    const ONE: Self = 1.0;
    fn of_log(log: f64) -> Self {
        log.exp()
    }
    fn ln(self) -> f64 {
        f64::ln(self)
    }
    fn plus(self, other: Self) -> Self {
        self + other
    }
    fn times(self, other: Self) -> Self {
        self * other
    }
    fn share_of(self, total: Self) -> f64 {
        self / total
    }
}

/// Logarithms: slower, nothing vanishes.
#[derive(Clone, Copy)]
pub(super) struct Logarithm(f64);

impl Weight for Logarithm {
    const NOTHING: Self = Self(f64::NEG_INFINITY);
    const ONE: Self = Self(0.0);
    fn of_log(log: f64) -> Self {
        Self(log)
    }
    fn ln(self) -> f64 {
        self.0
    }
    fn plus(self, other: Self) -> Self {
        let (high, low) = if self.0 > other.0 {
            (self.0, other.0)
        } else {
            (other.0, self.0)
        };
        if low == f64::NEG_INFINITY {
            return Self(high);
        }
        Self(high + (low - high).exp().ln_1p())
    }
    fn times(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
    fn share_of(self, total: Self) -> f64 {
        (self.0 - total.0).exp()
    }
}

/// Below this share of the largest thinkable weight, plain numbers may have lost something.
pub(super) const SAFE: f64 = 1e-150;
