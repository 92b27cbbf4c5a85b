//! Are stated probabilities borne out? Scores, calibration tables, coverage.

mod calibration_error;
mod coverage;
mod many_classes;
mod reliability;
mod scores;

pub use calibration_error::CalibrationError;
pub use coverage::{CoverageLimits, exact_coverage_limits, wilson_coverage_limits};
pub use many_classes::{ManyClasses, many_classes};
pub use reliability::{
    ReliabilityBin, expected_calibration_error, maximum_calibration_error, reliability_table,
};
pub use scores::{brier_score, log_loss};
