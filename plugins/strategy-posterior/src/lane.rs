//! The whole lane at once: every way to read its spots, weighed together.
//!
//! A way gives each spot one choice, no dye's place twice, a minor spot only with its dye. Its weight
//! is the joint density of all its spots, which know of each other: if one dye ran 0.02 high, so
//! did the next. All ways are written out and summed; no sampling, no picking of the best.

use std::f64::consts::PI;

use crate::Posterior;
use crate::choices::{Choice, Kind, LaneChoices};
use crate::observed::Observed;
use crate::separate::separately;

/// Up to so many ways (the product of the numbers of choices) the lane is weighed as a whole. Above,
/// see [`crate::separate`]; the answer says so.
pub(crate) const MOST_WAYS: usize = 20_000;

/// Probabilities of the choices of each spot, and of each target in the lane.
#[derive(Clone, Debug, Default)]
pub(crate) struct Reading {
    /// In the order of the lane's choices.
    pub(crate) shares: Vec<f64>,
    /// Probability that a target of the lane is there: a dye's main spot, or a minor spot seen.
    pub(crate) present: Vec<f64>,
    /// Whether the lane was weighed as a whole.
    pub(crate) whole: bool,
}

/// What the search works with, kept from lane to lane.
#[derive(Clone, Debug, Default)]
pub(crate) struct Room {
    /// Constant and power of the joint density of k spots.
    constants: Vec<(f64, f64)>,
    /// The choice of each spot, by its place among the lane's.
    picked: Vec<usize>,
    chosen: Vec<Chosen>,
    /// Rows of the decomposed covariance, each as long as there are spots.
    rows: Vec<f64>,
}

/// Reads a lane.
pub(crate) fn read(
    strategy: &Posterior,
    lane: &LaneChoices,
    seen: &[Observed],
    room: &mut Room,
    reading: &mut Reading,
) -> Result<(), String> {
    let ways = lane
        .of_spots()
        .try_fold(1_usize, |ways, some| ways.checked_mul(some.len()));
    if lane.is_joint() && ways.is_some_and(|ways| ways <= MOST_WAYS) {
        let mut search = Search::new(strategy, lane, seen, room, reading);
        let way = Way {
            taken: 0,
            chosen: 0,
            log_prior: 0.0,
        };
        search.ways(0, way);
        if search.finish() || seen.is_empty() {
            return Ok(());
        }
    }
    *reading = separately(strategy, lane)?;
    Ok(())
}

/// A chosen spot on the way down, with its row of the decomposed covariance.
#[derive(Clone, Copy, Debug)]
struct Chosen {
    kind: Kind,
    /// Standard deviation given the spots before.
    sd: f64,
    /// Deviation given the spots before, in these standard deviations.
    deviation: f64,
    /// Sum of the squared deviations and product of the standard deviations, up to this spot.
    squares: f64,
    sds: f64,
}

/// A way as far as it was gone: the targets taken, how many spots took any, and the logarithm of
/// their priors.
#[derive(Clone, Copy)]
struct Way {
    taken: u64,
    chosen: usize,
    log_prior: f64,
}

struct Search<'a> {
    strategy: &'a Posterior,
    lane: &'a LaneChoices,
    seen: &'a [Observed],
    room: &'a mut Room,
    reading: &'a mut Reading,
    /// Logarithm that all weights are taken relative to.
    reference: f64,
    /// What squared deviations are divided by.
    width: f64,
    total: f64,
}

impl<'a> Search<'a> {
    fn new(
        strategy: &'a Posterior,
        lane: &'a LaneChoices,
        seen: &'a [Observed],
        room: &'a mut Room,
        reading: &'a mut Reading,
    ) -> Self {
        // ln of Γ((ν+k)/2) / Γ(ν/2) · (νπ·scale)^(-k/2), one spot more at a time
        room.constants.clear();
        #[expect(clippy::cast_precision_loss, reason = "few spots")]
        let power = |k: usize| f64::midpoint(lane.df, k as f64);
        room.constants.push((0.0, power(0)));
        let each = (lane.df * PI * lane.scale).ln() / 2.0;
        for k in 0..seen.len() {
            let step = strategy.constants.ln_gamma_step(lane.known, k);
            let (before, _) = room.constants[k];
            room.constants.push((before + step - each, power(k + 1)));
        }
        let best = |some: &[Choice]| {
            some.iter()
                .map(|choice| choice.log_alone)
                .fold(f64::NEG_INFINITY, f64::max)
        };
        // before any spot: nothing deviates
        let none = Chosen {
            kind: Kind::Stranger,
            sd: 1.0,
            deviation: 0.0,
            squares: 0.0,
            sds: 1.0,
        };
        refill(&mut room.chosen, none, seen.len() + 1);
        refill(&mut room.picked, 0, seen.len());
        refill(&mut room.rows, 0.0, seen.len() * seen.len());
        refill(&mut reading.shares, 0.0, lane.all.len());
        refill(&mut reading.present, 0.0, lane.at.len());
        reading.whole = true;
        Self {
            strategy,
            lane,
            seen,
            reference: lane.of_spots().map(best).sum(),
            width: lane.df * lane.scale,
            room,
            reading,
            total: 0.0,
        }
    }

    /// All ways from spot `k` on.
    fn ways(&mut self, k: usize, way: Way) {
        let lane = self.lane;
        let Some(places) = lane.places(k) else { return };
        let is_last = k + 1 == lane.spots();
        let rf = self.seen[k].rf;
        for (place, choice) in places.clone().zip(&lane.all[places]) {
            let takes = takes(choice.kind);
            if way.taken & takes != 0 {
                continue;
            }
            let is_stranger = choice.kind == Kind::Stranger;
            let last = if is_stranger {
                self.room.chosen[way.chosen]
            } else {
                self.add(way.chosen, choice, rf)
            };
            let on = Way {
                taken: way.taken | takes,
                chosen: way.chosen + usize::from(!is_stranger),
                log_prior: way.log_prior + choice.log_prior,
            };
            self.room.picked[k] = place;
            if is_last {
                self.weigh(on, &last);
            } else {
                self.room.chosen[on.chosen] = last;
                self.ways(k + 1, on);
            }
        }
    }

    /// Adds a spot to the joint density of so many: one more row of the decomposition.
    #[inline]
    fn add(&mut self, count: usize, choice: &Choice, rf: f64) -> Chosen {
        let width = self.seen.len();
        let (before, row) = self.room.rows.split_at_mut(count * width);
        let (mut variance, mut deviation) = (choice.variance, rf - choice.mean);
        for (j, other) in self.room.chosen[1..=count].iter().enumerate() {
            let mut shared = self.lane.covariance(choice.kind, other.kind);
            for (own, other) in row[..j].iter().zip(&before[j * width..]) {
                shared -= own * other;
            }
            let entry = shared / other.sd;
            row[j] = entry;
            variance -= entry * entry;
            deviation -= entry * other.deviation;
        }
        // noise is above 0, so what is left is too; the floor only guards the last digits
        let sd = variance.max(choice.noise * 1e-6).sqrt();
        let deviation = deviation / sd;
        let last = &self.room.chosen[count];
        Chosen {
            kind: choice.kind,
            sd,
            deviation,
            squares: last.squares + deviation * deviation,
            sds: last.sds * sd,
        }
    }

    /// Adds the weight of a complete way, of which this spot was chosen last, to everything it says.
    #[inline]
    fn weigh(&mut self, way: Way, last: &Chosen) {
        let minors = &self.lane.minors;
        let Some(minors) = minor_factor(minors, way.taken, &self.strategy.minor_factors) else {
            return;
        };
        let (constant, power) = self.room.constants[way.chosen];
        let spread = (last.squares / self.width).ln_1p();
        let log = way.log_prior + constant - power * spread;
        let weight = minors * (log - self.reference).exp() / last.sds;
        self.total += weight;
        for place in &self.room.picked {
            self.reading.shares[*place] += weight;
        }
        let mut left = way.taken;
        while left != 0 {
            self.reading.present[left.trailing_zeros() as usize] += weight;
            left &= left - 1;
        }
    }

    /// Makes shares of the weights, where there are any.
    fn finish(self) -> bool {
        if !(self.total > 0.0 && self.total.is_finite()) {
            return false;
        }
        let Reading {
            shares, present, ..
        } = self.reading;
        for share in shares.iter_mut().chain(present) {
            *share /= self.total;
        }
        true
    }
}

/// Makes a series of one value.
fn refill<T: Clone>(series: &mut Vec<T>, value: T, count: usize) {
    series.clear();
    series.resize(count, value);
}

/// Places taken by a choice.
pub(crate) fn takes(kind: Kind) -> u64 {
    match kind {
        Kind::Stranger => 0,
        Kind::One(a) => 1 << a,
        Kind::Two(a, b) => 1 << a | 1 << b,
    }
}

/// A dye's main spot whose minor spots may show in the lane.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Minors {
    /// Bit of the main spot.
    pub(crate) main: u64,
    /// Bits of its minor spots in this lane.
    pub(crate) bits: u64,
    /// How many minor spots the dye has in all.
    pub(crate) count: usize,
}

/// Factors for so many minor spots in all, and so many of them seen.
#[derive(Clone, Debug)]
pub(crate) struct MinorFactors(Vec<Vec<f64>>);

impl MinorFactors {
    /// For up to so many, each seen and written down with probability `visible`.
    pub(crate) fn new(most: usize, visible: f64) -> Self {
        let power = |base: f64, n: usize| base.powi(i32::try_from(n).unwrap_or(i32::MAX));
        let factors = |count: usize| {
            let seen = (0..=count).map(|n| power(visible, n) * power(1.0 - visible, count - n));
            seen.collect()
        };
        Self((0..=most).map(factors).collect())
    }
}

/// Weight of the minor spots: seen or passed over where the dye is there, `None` where a minor spot
/// stands without its dye.
pub(crate) fn minor_factor(minors: &[Minors], taken: u64, factors: &MinorFactors) -> Option<f64> {
    let mut factor = 1.0;
    for minors in minors {
        let seen = (taken & minors.bits).count_ones();
        if taken & minors.main != 0 {
            factor *= factors.0[minors.count][seen as usize];
        } else if seen != 0 {
            return None;
        }
    }
    Some(factor)
}
