//! Comparing, predicting and changing developing solvents.

mod compare;
mod like_coloured;
mod one_solvent;
mod pair;
mod solvent_error;
mod spread;

pub use compare::{CompareQuestion, Comparison, LeftOut, TwoSolvents, compare_solvents};
pub use one_solvent::{OneSolvent, PlacedDye, SpotWidths};
pub use pair::DyePair;
pub use solvent_error::SolventError;
pub use spread::SpotSpread;

pub(crate) use like_coloured::{colours, like_coloured};

#[cfg(test)]
mod compare_tests;
