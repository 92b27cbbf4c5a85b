//! The conformance kit behind `dyebook plugin test`, and the scaffold of `dyebook plugin new`.
//!
//! The kit tries a plug-in case by case, each in a worker of its own, so that a case which crashes
//! the plug-in costs nothing but its own grade. What it draws by chance it draws from a seed that
//! stands in the report.

mod bench;
mod cases;
mod kit;
mod random;
mod report;
mod samples;
pub mod scaffold;

pub use kit::{KitError, Options, run};
pub use report::{CaseReport, Grade, KitReport};
