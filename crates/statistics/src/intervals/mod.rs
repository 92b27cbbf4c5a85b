//! Tolerance and prediction factors for one normal population.

mod interval_error;
mod prediction_factor;
mod tolerance_factor;
mod tolerance_factor_one_sided;

pub use interval_error::IntervalError;
pub use prediction_factor::prediction_factor;
pub use tolerance_factor::{howe_tolerance_factor, tolerance_factor};
pub use tolerance_factor_one_sided::{natrella_tolerance_factor, one_sided_tolerance_factor};
