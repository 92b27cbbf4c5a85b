//! Calling a matching strategy: in batches, with every answer looked at.

mod batches;
pub(crate) mod bounds;
mod handle;
pub(crate) mod meaning;

pub use handle::{LaneFailure, LaneOutcome, StrategyHandle};
