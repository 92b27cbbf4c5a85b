//! Where each target is to be expected on this very paper, given the known spots around.
//!
//! The mixed model (session and paper, each with shift, turn and each dye's own part) makes all Rf
//! jointly normal, so known spots update all others exactly, by one linear system.

use crate::known::KnownSpots;
use crate::spread::SpreadModel;
use crate::targets::{Target, Targets};

/// Joint prediction for some targets on one paper.
#[derive(Clone, Debug)]
pub(crate) struct Prediction {
    /// Expected Rf of each.
    pub(crate) mean: Vec<f64>,
    /// Their covariance, row by row; only the diagonal where `joint` was not asked for.
    covariance: Vec<f64>,
    joint: bool,
    /// Factor on all variances: how much more or less the known spots scatter than the reference
    /// set says, weighed by its degrees of freedom.
    pub(crate) scale: f64,
    /// Degrees of freedom of the prediction.
    pub(crate) df: f64,
}

impl Prediction {
    /// Whether the targets' covariances are known, not only their variances.
    pub(crate) fn is_joint(&self) -> bool {
        self.joint
    }

    pub(crate) fn covariance(&self, a: usize, b: usize) -> f64 {
        match (self.joint, a == b) {
            (true, _) => self.covariance[a * self.mean.len() + b],
            (false, true) => self.covariance[a],
            (false, false) => 0.0,
        }
    }
}

/// Predicts `wanted` (positions in `targets`) on the paper of the lane under question.
pub(crate) fn predict(
    targets: &Targets,
    wanted: &[usize],
    known: &KnownSpots,
    model: SpreadModel,
    joint: bool,
) -> Prediction {
    let system = System::new(targets, known, model);
    let n = known.spots.len();
    let mut rows = vec![0.0; wanted.len() * n];
    let mut mean = Vec::with_capacity(wanted.len());
    for (row, at) in rows.chunks_exact_mut(n.max(1)).zip(wanted) {
        let target = &targets.all[*at];
        for (entry, spot) in row.iter_mut().zip(&known.spots) {
            let other = &targets.all[spot.target];
            let same = spot.target == *at;
            *entry = model.session(target, other, same)
                + if spot.here { model.paper(target, other, same) } else { 0.0 };
        }
        system.forward(row);
    }
    for (k, at) in wanted.iter().enumerate() {
        let shift = dot(&rows[k * n..(k + 1) * n], &system.residual);
        mean.push(targets.all[*at].rf + shift);
    }
    let prior = |a: usize, b: usize| {
        let (ta, tb): (&Target, &Target) = (&targets.all[wanted[a]], &targets.all[wanted[b]]);
        let same = a == b;
        model.session(ta, tb, same) + model.paper(ta, tb, same)
    };
    let row = |k: usize| &rows[k * n..(k + 1) * n];
    let size = wanted.len();
    let covariance = if joint {
        let mut table = vec![0.0; size * size];
        for a in 0..size {
            for b in 0..=a {
                let value = prior(a, b) - dot(row(a), row(b));
                table[a * size + b] = value;
                table[b * size + a] = value;
            }
        }
        table
    } else {
        (0..size).map(|a| prior(a, a) - dot(row(a), row(a))).collect()
    };
    #[expect(clippy::cast_precision_loss, reason = "few known spots")]
    let count = n as f64;
    let df = targets.df + count;
    let scale = (targets.df + dot(&system.residual, &system.residual)) / df;
    Prediction { mean, covariance, joint, scale, df }
}

/// The covariance of the known spots, decomposed, and their whitened deviations.
struct System {
    /// Lower triangle, row by row.
    lower: Vec<f64>,
    residual: Vec<f64>,
}

impl System {
    fn new(targets: &Targets, known: &KnownSpots, model: SpreadModel) -> Self {
        let n = known.spots.len();
        let mut lower = vec![0.0; n * n];
        for (i, a) in known.spots.iter().enumerate() {
            for (j, b) in known.spots[..=i].iter().enumerate() {
                let (ta, tb) = (&targets.all[a.target], &targets.all[b.target]);
                let same = a.target == b.target;
                let mut value = model.session(ta, tb, same);
                if a.paper == b.paper {
                    value += model.paper(ta, tb, same);
                }
                if i == j {
                    value += a.noise;
                }
                let known = dot(&lower[i * n..i * n + j], &lower[j * n..j * n + j]);
                lower[i * n + j] = if i == j {
                    // noise is above 0, so what is left of the variance is too; the floor only
                    // guards the last digits
                    (value - known).max(a.noise * 1e-6).sqrt()
                } else {
                    (value - known) / lower[j * n + j]
                };
            }
        }
        let mut residual: Vec<f64> =
            known.spots.iter().map(|spot| spot.rf - targets.all[spot.target].rf).collect();
        let mut system = Self { lower, residual: Vec::new() };
        system.forward(&mut residual);
        system.residual = residual;
        system
    }

    /// Solves `lower · x = right` in place.
    fn forward(&self, right: &mut [f64]) {
        let n = right.len();
        for i in 0..n {
            let known = dot(&self.lower[i * n..i * n + i], &right[..i]);
            right[i] = (right[i] - known) / self.lower[i * n + i];
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
