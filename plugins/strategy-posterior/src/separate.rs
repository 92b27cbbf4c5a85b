//! Lanes with too many ways to write out: each spot by its own exact prediction, and only who takes
//! which dye summed together, exactly.
//!
//! What is left out is that the spots of the lane share what is still unknown of the paper's shift;
//! the known spots have been taken into account as always. Spots that want different dyes don't
//! touch each other and are summed apart. Where so many spots want so many dyes that even the sets
//! of dyes taken are too many, pairs and minor spots are left out as well.

use dyebook_statistics::matching::{
    Choice as Taking, MatchingError, choice_marginals, one_to_one_marginals,
};

use crate::Posterior;
use crate::choices::{Choice, Kind, LaneChoices};
use crate::lane::{Minors, Reading, minor_factor};

/// Sets of targets are held in the bits of one number.
const MOST_TARGETS: usize = 64;

pub(crate) fn separately(strategy: &Posterior, lane: &LaneChoices) -> Result<Reading, String> {
    let mut reading = Reading {
        shares: vec![0.0; lane.all.len()],
        present: vec![0.0; lane.at.len()],
        whole: false,
    };
    for part in parts(strategy, lane) {
        let (rows, present) = part
            .by_sets(strategy, lane)
            .or_else(|_too_many| part.one_dye_a_spot(strategy, lane))
            .map_err(|error| {
                let spots = part.spots.len();
                format!("{spots} spots of the lane can't be weighed exactly: {error}")
            })?;
        for (spot, shares) in part.spots.iter().zip(rows) {
            let places = lane.places(*spot).unwrap_or_default();
            reading.shares[places].copy_from_slice(&shares);
        }
        for (target, share) in part.targets.iter().zip(present) {
            reading.present[*target] = share;
        }
    }
    Ok(reading)
}

/// Spots that want the same targets, and the targets they want.
#[derive(Debug, Default)]
struct Part {
    spots: Vec<usize>,
    targets: Vec<usize>,
}

/// The lane in parts that share no target; a dye's main and minor spots count as one.
fn parts(strategy: &Posterior, lane: &LaneChoices) -> Vec<Part> {
    let reference = |target: usize| strategy.targets.all[lane.at[target]].reference;
    let mut parts: Vec<Part> = Vec::new();
    for (spot, choices) in lane.of_spots().enumerate() {
        let mut part = Part {
            spots: vec![spot],
            targets: Vec::new(),
        };
        part.targets
            .extend(choices.iter().flat_map(|choice| choice.kind.targets()));
        let mut dyes: Vec<usize> = part
            .targets
            .iter()
            .map(|target| reference(*target))
            .collect();
        dyes.sort_unstable();
        let mut apart = Vec::new();
        for other in parts {
            let shares = |target: &usize| dyes.binary_search(&reference(*target)).is_ok();
            if other.targets.iter().any(shares) {
                part.spots.extend(other.spots);
                part.targets.extend(other.targets);
            } else {
                apart.push(other);
            }
        }
        part.spots.sort_unstable();
        part.targets.sort_unstable();
        part.targets.dedup();
        apart.push(part);
        parts = apart;
    }
    parts
}

/// Shares of the choices of each spot of a part, and probability of each of its targets.
type Shares = (Vec<Vec<f64>>, Vec<f64>);

impl Part {
    fn place(&self, target: usize) -> usize {
        self.targets.binary_search(&target).unwrap_or(usize::MAX)
    }

    fn by_sets(&self, strategy: &Posterior, lane: &LaneChoices) -> Result<Shares, MatchingError> {
        let needed = self.targets.len();
        if needed > MOST_TARGETS {
            return Err(MatchingError::TooLarge {
                needed,
                limit: MOST_TARGETS,
            });
        }
        let taking = |choice: &Choice| Taking {
            takes: choice
                .kind
                .targets()
                .fold(0, |bits, target| bits | 1 << self.place(target)),
            log_weight: choice.log_alone,
        };
        let rows: Vec<Vec<Taking>> = self
            .spots
            .iter()
            .map(|s| lane.of_spot(*s).iter().map(taking).collect())
            .collect();
        let targets = self.targets.iter();
        let minors: Vec<Minors> = targets
            .filter_map(|target| self.minors_of(strategy, lane, *target))
            .collect();
        let marginals = choice_marginals(&rows, |taken| {
            minor_factor(&minors, taken, &strategy.minor_factors).map_or(f64::NEG_INFINITY, f64::ln)
        })?;
        let mut present = vec![0.0; self.targets.len()];
        for (taken, share) in &marginals.sets {
            for (place, sum) in present.iter_mut().enumerate() {
                if taken & (1 << place) != 0 {
                    *sum += share;
                }
            }
        }
        Ok((marginals.rows, present))
    }

    /// The minor spots of a main spot in this part.
    fn minors_of(&self, strategy: &Posterior, lane: &LaneChoices, target: usize) -> Option<Minors> {
        let main = &strategy.targets.all[lane.at[target]];
        let minors = &strategy.targets.minors[main.reference];
        if main.minor || minors.is_empty() {
            return None;
        }
        let local = minors
            .iter()
            .filter_map(|minor| lane.at.binary_search(minor).ok());
        let places = local
            .map(|local| self.place(local))
            .filter(|place| *place < MOST_TARGETS);
        Some(Minors {
            main: 1 << self.place(target),
            bits: places.fold(0, |bits, place| bits | 1 << place),
            count: minors.len(),
        })
    }

    fn one_dye_a_spot(
        &self,
        strategy: &Posterior,
        lane: &LaneChoices,
    ) -> Result<Shares, MatchingError> {
        let main = |local: usize| !strategy.targets.all[lane.at[local]].minor;
        let mut log_weights = vec![vec![f64::NEG_INFINITY; self.targets.len()]; self.spots.len()];
        let mut log_none = vec![f64::NEG_INFINITY; self.spots.len()];
        for (row, spot) in self.spots.iter().enumerate() {
            for choice in lane.of_spot(*spot) {
                match choice.kind {
                    Kind::Stranger => log_none[row] = choice.log_alone,
                    Kind::One(local) if main(local) => {
                        log_weights[row][self.place(local)] = choice.log_alone;
                    }
                    _ => {}
                }
            }
        }
        let marginals = one_to_one_marginals(&log_weights, &log_none)?;
        let share = |row: usize, choice: &Choice| match choice.kind {
            Kind::Stranger => marginals.rows[row][self.targets.len()],
            Kind::One(local) => marginals.rows[row][self.place(local)],
            Kind::Two(..) => 0.0,
        };
        let rows = self
            .spots
            .iter()
            .enumerate()
            .map(|(row, spot)| lane.of_spot(*spot).iter().map(|c| share(row, c)).collect())
            .collect();
        Ok((rows, marginals.column_used))
    }
}
