//! Lanes with too many ways to write out: each spot by its own exact prediction, and only who takes
//! which dye summed together, exactly, by sets.
//!
//! What is left out is that the spots of the lane share what is still unknown of the paper's shift;
//! the known spots have been taken into account as always. Where even the sets are too many, pairs
//! and minor spots are left out as well.

use dyebook_statistics::matching::{
    Choice as Taking, MatchingError, choice_marginals, one_to_one_marginals,
};

use crate::Posterior;
use crate::choices::{Choice, Kind, LaneTargets};
use crate::lane::{Reading, minor_factor, takes};

/// Sets of targets are held in the bits of one number.
const MOST_TARGETS: usize = 64;

pub(crate) fn separately(
    strategy: &Posterior,
    targets: &LaneTargets,
    choices: &[Vec<Choice>],
) -> Result<Reading, String> {
    if targets.at.len() <= MOST_TARGETS {
        if let Ok(reading) = by_sets(strategy, targets, choices) {
            return Ok(reading);
        }
    }
    one_dye_a_spot(strategy, targets, choices).map_err(|error| {
        format!("the lane's {} spots can't be weighed exactly: {error}", choices.len())
    })
}

fn by_sets(
    strategy: &Posterior,
    targets: &LaneTargets,
    choices: &[Vec<Choice>],
) -> Result<Reading, MatchingError> {
    let rows: Vec<Vec<Taking>> = choices
        .iter()
        .map(|some| {
            let taking = |choice: &Choice| Taking {
                takes: takes(choice.kind),
                log_weight: choice.log_alone,
            };
            some.iter().map(taking).collect()
        })
        .collect();
    let minors = targets.minors(strategy);
    let visible = strategy.config.minor_visible;
    let marginals = choice_marginals(&rows, |taken| {
        minor_factor(&minors, taken, visible).map_or(f64::NEG_INFINITY, f64::ln)
    })?;
    let mut present = vec![0.0; targets.at.len()];
    for (taken, share) in &marginals.sets {
        for (place, sum) in present.iter_mut().enumerate() {
            if taken & (1 << place) != 0 {
                *sum += share;
            }
        }
    }
    Ok(Reading { shares: marginals.rows, present, whole: false })
}

fn one_dye_a_spot(
    strategy: &Posterior,
    targets: &LaneTargets,
    choices: &[Vec<Choice>],
) -> Result<Reading, MatchingError> {
    let main = |local: usize| !strategy.targets.all[targets.at[local]].minor;
    let mut log_weights = vec![vec![f64::NEG_INFINITY; targets.at.len()]; choices.len()];
    let mut log_none = vec![f64::NEG_INFINITY; choices.len()];
    for (row, some) in choices.iter().enumerate() {
        for choice in some {
            match choice.kind {
                Kind::Stranger => log_none[row] = choice.log_alone,
                Kind::One(local) if main(local) => log_weights[row][local] = choice.log_alone,
                _ => {}
            }
        }
    }
    let marginals = one_to_one_marginals(&log_weights, &log_none)?;
    let share = |row: usize, choice: &Choice| match choice.kind {
        Kind::Stranger => marginals.rows[row][targets.at.len()],
        Kind::One(local) => marginals.rows[row][local],
        Kind::Two(..) => 0.0,
    };
    let shares = choices
        .iter()
        .enumerate()
        .map(|(row, some)| some.iter().map(|choice| share(row, choice)).collect())
        .collect();
    Ok(Reading { shares, present: marginals.column_used, whole: false })
}
