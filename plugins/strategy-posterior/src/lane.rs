//! The whole lane at once: every way to read its spots, weighed together.
//!
//! A way gives each spot one choice, no dye's place twice, a minor spot only with its dye. Its weight
//! is the joint density of all its spots, which know of each other: if one dye ran 0.02 high, so
//! did the next. All ways are written out and summed; no sampling, no picking of the best.

use std::f64::consts::PI;

use dyebook_statistics::distribution::student_t_log_density;

use crate::Posterior;
use crate::choices::{Choice, Kind, LaneChoices};
use crate::observed::Observed;
use crate::separate::separately;

/// Up to so many ways (the product of the numbers of choices) the lane is weighed as a whole. Above,
/// see [`crate::separate`]; the answer says so.
pub(crate) const MOST_WAYS: usize = 20_000;

/// Probabilities of the choices of each spot, and of each target in the lane.
#[derive(Clone, Debug)]
pub(crate) struct Reading {
    /// In the order of each spot's choices.
    pub(crate) shares: Vec<Vec<f64>>,
    /// Probability that a target of the lane is there: a dye's main spot, or a minor spot seen.
    pub(crate) present: Vec<f64>,
    /// Whether the lane was weighed as a whole.
    pub(crate) whole: bool,
}

/// Reads a lane.
pub(crate) fn read(
    strategy: &Posterior,
    lane: &LaneChoices,
    seen: &[Observed],
) -> Result<Reading, String> {
    let ways = lane
        .of_spots
        .iter()
        .try_fold(1_usize, |ways, some| ways.checked_mul(some.len()));
    if lane.is_joint() && ways.is_some_and(|ways| ways <= MOST_WAYS) {
        let mut search = Search::new(strategy, lane, seen);
        search.spot(0, 0);
        if let Some(reading) = search.finish() {
            return Ok(reading);
        }
    }
    separately(strategy, lane)
}

/// A chosen spot on the way down, with its row of the decomposed covariance.
#[derive(Clone, Copy)]
struct Chosen {
    kind: Kind,
    /// Standard deviation given the spots before.
    sd: f64,
    /// Deviation given the spots before, in these standard deviations.
    deviation: f64,
}

struct Search<'a> {
    strategy: &'a Posterior,
    lane: &'a LaneChoices,
    seen: &'a [Observed],
    /// Logarithm that all weights are taken relative to.
    reference: f64,
    /// Constant of the joint density of k spots.
    constants: Vec<f64>,
    picked: Vec<usize>,
    chosen: Vec<Chosen>,
    /// Rows of the decomposed covariance, one after the other.
    rows: Vec<f64>,
    log_prior: Vec<f64>,
    shares: Vec<Vec<f64>>,
    present: Vec<f64>,
    total: f64,
}

impl<'a> Search<'a> {
    fn new(strategy: &'a Posterior, lane: &'a LaneChoices, seen: &'a [Observed]) -> Self {
        let choices = &lane.of_spots;
        // ln of Γ((ν+k)/2) / Γ(ν/2) · (νπ·scale)^(-k/2), one spot more at a time
        let mut constants = vec![0.0];
        for k in 0..seen.len() {
            #[expect(clippy::cast_precision_loss, reason = "few spots")]
            let step = ln_gamma_step(lane.df + k as f64);
            let before = constants[k];
            constants.push(before + step - (lane.df * PI * lane.scale).ln() / 2.0);
        }
        let best = |some: &Vec<Choice>| {
            some.iter()
                .map(|choice| choice.log_alone)
                .fold(f64::NEG_INFINITY, f64::max)
        };
        Self {
            strategy,
            lane,
            seen,
            reference: choices.iter().map(best).sum(),
            constants,
            picked: Vec::with_capacity(seen.len()),
            chosen: Vec::with_capacity(seen.len()),
            rows: Vec::with_capacity(seen.len() * seen.len()),
            log_prior: vec![0.0; seen.len() + 1],
            shares: choices.iter().map(|some| vec![0.0; some.len()]).collect(),
            present: vec![0.0; lane.at.len()],
            total: 0.0,
        }
    }

    /// Goes through the choices of spot `k`, those before it made and taking `taken`.
    fn spot(&mut self, k: usize, taken: u64) {
        if k == self.lane.of_spots.len() {
            self.weigh(taken);
            return;
        }
        let lane = self.lane;
        for (number, choice) in lane.of_spots[k].iter().enumerate() {
            let takes = takes(choice.kind);
            if taken & takes != 0 {
                continue;
            }
            self.log_prior[k + 1] = self.log_prior[k] + choice.log_prior;
            self.picked.push(number);
            if choice.kind == Kind::Stranger {
                self.spot(k + 1, taken);
            } else {
                let rows = self.rows.len();
                self.add(choice, self.seen[k].rf);
                self.spot(k + 1, taken | takes);
                self.chosen.pop();
                self.rows.truncate(rows);
            }
            self.picked.pop();
        }
    }

    /// Adds a spot to the joint density: one more row of the decomposition.
    fn add(&mut self, choice: &Choice, rf: f64) {
        let start = self.rows.len();
        let (mut variance, mut deviation) = (choice.variance, rf - choice.mean);
        let mut row_of_other = 0;
        for (j, other) in self.chosen.iter().enumerate() {
            let mut shared = self.lane.covariance(choice.kind, other.kind);
            for i in 0..j {
                shared -= self.rows[start + i] * self.rows[row_of_other + i];
            }
            row_of_other += j;
            let entry = shared / other.sd;
            self.rows.push(entry);
            variance -= entry * entry;
            deviation -= entry * other.deviation;
        }
        // noise is above 0, so what is left is too; the floor only guards the last digits
        let sd = variance.max(choice.noise * 1e-6).sqrt();
        self.chosen.push(Chosen {
            kind: choice.kind,
            sd,
            deviation: deviation / sd,
        });
    }

    /// Adds the weight of a complete way to everything it says.
    fn weigh(&mut self, taken: u64) {
        let visible = self.strategy.config.minor_visible;
        let Some(minors) = minor_factor(&self.lane.minors, taken, visible) else {
            return;
        };
        let count = self.chosen.len();
        let (mut squares, mut sds) = (0.0, 1.0);
        for chosen in &self.chosen {
            squares += chosen.deviation * chosen.deviation;
            sds *= chosen.sd;
        }
        #[expect(clippy::cast_precision_loss, reason = "few spots")]
        let power = f64::midpoint(self.lane.df, count as f64);
        let spread = (squares / (self.lane.df * self.lane.scale)).ln_1p();
        let log = self.log_prior[self.picked.len()] + self.constants[count] - power * spread;
        let weight = minors * (log - self.reference).exp() / sds;
        self.total += weight;
        for (shares, number) in self.shares.iter_mut().zip(&self.picked) {
            shares[*number] += weight;
        }
        let mut left = taken;
        while left != 0 {
            self.present[left.trailing_zeros() as usize] += weight;
            left &= left - 1;
        }
    }

    fn finish(mut self) -> Option<Reading> {
        if !(self.total > 0.0 && self.total.is_finite()) {
            return None;
        }
        for share in self.shares.iter_mut().flatten().chain(&mut self.present) {
            *share /= self.total;
        }
        Some(Reading {
            shares: self.shares,
            present: self.present,
            whole: true,
        })
    }
}

/// ln Γ((ν+1)/2) - ln Γ(ν/2), from the density of Student's t at 0.
fn ln_gamma_step(df: f64) -> f64 {
    student_t_log_density(0.0, df).unwrap_or(0.0) + (df * PI).ln() / 2.0
}

/// Places taken by a choice.
pub(crate) fn takes(kind: Kind) -> u64 {
    match kind {
        Kind::Stranger => 0,
        Kind::One(a) => 1 << a,
        Kind::Two(a, b) => 1 << a | 1 << b,
    }
}

/// Weight of the minor spots: seen or passed over where the dye is there, `None` where a minor spot
/// stands without its dye.
pub(crate) fn minor_factor(minors: &[(u64, i32)], taken: u64, visible: f64) -> Option<f64> {
    let mut factor = 1.0;
    for (place, (bits, count)) in minors.iter().enumerate() {
        if *count == 0 {
            continue;
        }
        let seen = (taken & bits).count_ones();
        if taken & (1 << place) != 0 {
            let seen = i32::try_from(seen).unwrap_or(i32::MAX);
            factor *= visible.powi(seen) * (1.0 - visible).powi(count - seen);
        } else if seen != 0 {
            return None;
        }
    }
    Some(factor)
}
