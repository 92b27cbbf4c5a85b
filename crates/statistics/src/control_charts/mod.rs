//! Control charts: constants, limits and run rules.

mod chart_error;
mod constants;
mod limits;
mod run_rules;

pub use chart_error::ChartError;
pub use constants::{ChartConstants, chart_constants};
pub use limits::{
    ChartLimits, individuals_limits, mean_limits_from_ranges, mean_limits_from_sds, range_limits,
    reference_limits, sd_limits,
};
pub use run_rules::{Direction, RunRule, Signal, run_signals};
