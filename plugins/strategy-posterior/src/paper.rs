//! Where each target is to be expected on this very paper, given the known spots around.
//!
//! The mixed model (session and paper, each with shift, turn and each dye's own part) makes all Rf
//! jointly normal, so known spots update all others exactly, by one linear system.

use crate::filled;
use crate::known::KnownSpots;
use crate::spread::{paper, session};
use crate::targets::Targets;

/// Joint prediction for some targets on one paper.
#[derive(Clone, Debug)]
pub(crate) struct Prediction {
    /// Positions of the targets in the set's list, rising.
    pub(crate) at: Vec<usize>,
    /// Expected Rf of each.
    pub(crate) mean: Vec<f64>,
    /// Variance of each about it, the spread on the paper apart.
    pub(crate) variance: Vec<f64>,
    /// Factor on all variances: how much more or less the known spots scatter than the reference
    /// set says, weighed by its degrees of freedom.
    pub(crate) scale: f64,
    /// Degrees of freedom of the prediction.
    pub(crate) df: f64,
    /// What the known spots tell of each target, whitened, row by row.
    rows: Vec<f64>,
    pub(crate) known: usize,
}

impl Prediction {
    /// Predicts the targets at these positions on the paper of the lane under question.
    pub(crate) fn new(targets: &Targets, at: Vec<usize>, known: &KnownSpots) -> Self {
        let n = known.spots.len();
        let system = System::new(targets, known);
        let mut rows = filled(0.0, at.len() * n);
        let (mut mean, mut variance) = (Vec::with_capacity(at.len()), Vec::with_capacity(at.len()));
        for (k, position) in at.iter().enumerate() {
            let target = &targets.all[*position];
            let row = &mut rows[k * n..(k + 1) * n];
            for (entry, spot) in row.iter_mut().zip(&known.spots) {
                let other = &targets.all[spot.target];
                let same = spot.target == *position;
                *entry = session(target, other, same);
                if spot.here {
                    *entry += paper(target, other, same);
                }
            }
            system.forward(row);
            mean.push(target.rf + dot(row, &system.residual));
            variance.push(target.prior - dot(row, row));
        }
        #[expect(clippy::cast_precision_loss, reason = "few known spots")]
        let df = targets.df + n as f64;
        let scale = (targets.df + dot(&system.residual, &system.residual)) / df;
        Self {
            at,
            mean,
            variance,
            scale,
            df,
            rows,
            known: n,
        }
    }

    /// Covariance of the expected Rf of two of its targets.
    pub(crate) fn covariance(&self, targets: &Targets, a: usize, b: usize) -> f64 {
        if a == b {
            return self.variance[a];
        }
        let (first, second) = (&targets.all[self.at[a]], &targets.all[self.at[b]]);
        let row = |k: usize| &self.rows[k * self.known..(k + 1) * self.known];
        session(first, second, false) + paper(first, second, false) - dot(row(a), row(b))
    }
}

/// The covariance of the known spots, decomposed, and their whitened deviations.
struct System {
    /// Lower triangle, row by row; the diagonal holds the inverses.
    lower: Vec<f64>,
    residual: Vec<f64>,
}

impl System {
    fn new(targets: &Targets, known: &KnownSpots) -> Self {
        let n = known.spots.len();
        let mut lower = filled(0.0, n * n);
        for (i, a) in known.spots.iter().enumerate() {
            for (j, b) in known.spots[..=i].iter().enumerate() {
                let (ta, tb) = (&targets.all[a.target], &targets.all[b.target]);
                let same = a.target == b.target;
                let mut value = session(ta, tb, same);
                if a.paper == b.paper {
                    value += paper(ta, tb, same);
                }
                let told = dot(&lower[i * n..i * n + j], &lower[j * n..j * n + j]);
                lower[i * n + j] = if i == j {
                    // noise is above 0, so what is left of the variance is too; the floor only
                    // guards the last digits
                    1.0 / (value + a.noise - told).max(a.noise * 1e-6).sqrt()
                } else {
                    (value - told) * lower[j * n + j]
                };
            }
        }
        let mut residual: Vec<f64> = known
            .spots
            .iter()
            .map(|spot| spot.rf - targets.all[spot.target].rf)
            .collect();
        let mut system = Self {
            lower,
            residual: Vec::new(),
        };
        system.forward(&mut residual);
        system.residual = residual;
        system
    }

    /// Solves `lower · x = right` in place.
    fn forward(&self, right: &mut [f64]) {
        let rows = self.lower.chunks_exact(right.len().max(1));
        for (i, row) in rows.enumerate() {
            let (before, own) = right.split_at_mut(i);
            own[0] = (own[0] - dot(&row[..i], before)) * row[i];
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
