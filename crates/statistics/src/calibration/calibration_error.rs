//! What keeps probabilities from being scored.

use crate::distribution::DistributionError;

/// Why probabilities can't be scored.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CalibrationError {
    /// There is nothing to score.
    #[error("there is nothing to score")]
    Empty,
    /// Outcomes and probabilities differ in number.
    #[error("{outcomes} outcomes stand beside {probabilities} probabilities")]
    LengthsDiffer {
        /// Number of outcomes.
        outcomes: usize,
        /// Number of probabilities.
        probabilities: usize,
    },
    /// A probability is outside 0..1, or a row of them doesn't hold the outcome.
    #[error("probability {index} is not between 0 and 1, or its outcome has none")]
    Probability {
        /// Position, from 0.
        index: usize,
    },
    /// More successes than trials, or no trial.
    #[error("{inside} of {trials} is no share")]
    Share {
        /// Number inside.
        inside: u64,
        /// Number of trials.
        trials: u64,
    },
    /// A level is out of range.
    #[error(transparent)]
    Distribution(#[from] DistributionError),
}

impl CalibrationError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Empty => "statistics.nothing-to-score",
            Self::LengthsDiffer { .. } => "statistics.lengths-differ",
            Self::Probability { .. } => "statistics.probability-out-of-range",
            Self::Share { .. } => "statistics.no-share",
            Self::Distribution(error) => error.id(),
        }
    }
}

/// Checks that outcomes and probabilities match and are in range.
pub(super) fn check(happened: &[bool], probabilities: &[f64]) -> Result<(), CalibrationError> {
    let (outcomes, found) = (happened.len(), probabilities.len());
    if outcomes != found {
        return Err(CalibrationError::LengthsDiffer {
            outcomes,
            probabilities: found,
        });
    }
    if outcomes == 0 {
        return Err(CalibrationError::Empty);
    }
    match probabilities.iter().position(|p| !(0.0..=1.0).contains(p)) {
        Some(index) => Err(CalibrationError::Probability { index }),
        None => Ok(()),
    }
}
