//! Where each target is to be expected on this very paper, given the known spots around.
//!
//! The mixed model (session and paper, each with shift, turn and each dye's own part) makes all Rf
//! jointly normal, so known spots update all others exactly, by one linear system.
//!
//! Lanes that follow one another mostly have the same known spots around them, or the same but for
//! one. What hangs on the known spots that stayed is kept: the decomposition of a covariance, row by
//! row, and what they tell of a target hang on those before only.

use crate::known::Known;
use crate::spread::{paper, session};
use crate::targets::Targets;

/// Joint prediction for the targets on one paper.
#[derive(Clone, Debug, Default)]
pub(crate) struct Prediction {
    /// The known spots it rests on.
    pub(crate) known: Vec<Known>,
    /// Factor on all variances: how much more or less the known spots scatter than the reference
    /// set says, weighed by its degrees of freedom.
    pub(crate) scale: f64,
    /// Degrees of freedom of the prediction.
    pub(crate) df: f64,
    /// The covariance of the known spots, decomposed: the lower triangle, row by row. The diagonal
    /// holds the inverses.
    lower: Vec<f64>,
    /// Their whitened deviations.
    residual: Vec<f64>,
    /// Of every target, as far as anybody asked.
    places: Vec<Place>,
}

/// Where a target is to be expected.
#[derive(Clone, Debug, Default)]
pub(crate) struct Place {
    /// Expected Rf.
    pub(crate) mean: f64,
    /// Variance about it, the spread on the paper apart.
    pub(crate) variance: f64,
    /// Whether both are those of the paper at hand.
    is_told: bool,
    /// What the known spots tell of the target, whitened.
    row: Vec<f64>,
}

impl Prediction {
    /// Turns to the paper of a lane with these known spots around it.
    pub(crate) fn turn_to(&mut self, targets: &Targets, known: &[Known]) {
        if self.df > 0.0 && self.known == known {
            return;
        }
        // who stands on the lane's own paper does not matter to the known spots among themselves
        let as_spot = |spot: &Known| Known {
            here: false,
            ..*spot
        };
        let stay = alike(&self.known, known, |a, b| as_spot(a) == as_spot(b));
        let tell_the_same = alike(&self.known, known, |a, b| a == b);
        self.places.resize_with(targets.all.len(), Place::default);
        for place in &mut self.places {
            place.row.truncate(tell_the_same);
            place.is_told = false;
        }
        self.known.clear();
        self.known.extend_from_slice(known);
        self.decompose(targets, stay);
        #[expect(clippy::cast_precision_loss, reason = "few known spots")]
        let df = targets.df + known.len() as f64;
        self.df = df;
        self.scale = (targets.df + dot(&self.residual, &self.residual)) / df;
    }

    /// Decomposes the covariance of the known spots, of which the first so many stayed.
    fn decompose(&mut self, targets: &Targets, stay: usize) {
        self.lower.truncate(begin_of_row(stay));
        self.residual.truncate(stay);
        for (i, a) in self.known.iter().enumerate().skip(stay) {
            let begin = begin_of_row(i);
            for (j, b) in self.known[..=i].iter().enumerate() {
                let (ta, tb) = (&targets.all[a.target], &targets.all[b.target]);
                let same = a.target == b.target;
                let mut value = session(ta, tb, same);
                if a.paper == b.paper {
                    value += paper(ta, tb, same);
                }
                let of_b = begin_of_row(j);
                let told = dot(&self.lower[begin..], &self.lower[of_b..of_b + j]);
                self.lower.push(if i == j {
                    // noise is above 0, so what is left of the variance is too; the floor only
                    // guards the last digits
                    1.0 / (value + a.noise - told).max(a.noise * 1e-6).sqrt()
                } else {
                    (value - told) * self.lower[of_b + j]
                });
            }
            self.residual.push(a.rf - targets.all[a.target].rf);
            forward(&self.lower, &mut self.residual, i);
        }
    }

    /// Works out where these targets are to be expected.
    pub(crate) fn tell(&mut self, targets: &Targets, at: &[usize]) {
        for position in at {
            let place = &mut self.places[*position];
            if place.is_told {
                continue;
            }
            let target = &targets.all[*position];
            for (i, spot) in self.known.iter().enumerate().skip(place.row.len()) {
                let other = &targets.all[spot.target];
                let same = spot.target == *position;
                let mut entry = session(target, other, same);
                if spot.here {
                    entry += paper(target, other, same);
                }
                place.row.push(entry);
                forward(&self.lower, &mut place.row, i);
            }
            place.mean = target.rf + dot(&place.row, &self.residual);
            place.variance = target.prior - dot(&place.row, &place.row);
            place.is_told = true;
        }
    }

    /// Where a target is to be expected that was worked out.
    pub(crate) fn place(&self, target: usize) -> &Place {
        &self.places[target]
    }

    /// Covariance of the expected Rf of two targets that were worked out.
    pub(crate) fn covariance(&self, targets: &Targets, a: usize, b: usize) -> f64 {
        let (one, other) = (&self.places[a], &self.places[b]);
        if a == b {
            return one.variance;
        }
        let (first, second) = (&targets.all[a], &targets.all[b]);
        session(first, second, false) + paper(first, second, false) - dot(&one.row, &other.row)
    }
}

/// How many spots at the beginning of both are alike.
fn alike(before: &[Known], now: &[Known], is_alike: impl Fn(&Known, &Known) -> bool) -> usize {
    let both = before.iter().zip(now);
    both.take_while(|(a, b)| is_alike(a, b)).count()
}

/// Where a row of a lower triangle begins.
fn begin_of_row(row: usize) -> usize {
    row * (row + 1) / 2
}

/// Solves row `i` of `lower · x = right` in place, those before being solved.
fn forward(lower: &[f64], right: &mut [f64], i: usize) {
    let row = &lower[begin_of_row(i)..];
    right[i] = (right[i] - dot(&row[..i], &right[..i])) * row[i];
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
