//! Who belongs to whom, each at most once: the best matching, and exact probabilities over all.

mod assignment;
mod choice_marginals;
mod matching_error;
mod one_to_one_marginals;
mod weight;

pub use assignment::{Assignment, assignment, assignment_or_none};
pub use choice_marginals::{Choice, ChoiceMarginals, MOST_STATES, choice_marginals};
pub use matching_error::MatchingError;
pub use one_to_one_marginals::{MOST_CELLS, OneToOneMarginals, one_to_one_marginals};
