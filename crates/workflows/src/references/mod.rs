//! References that a lab can stand behind: established from nested replicates, shown with their
//! origin, watched, verified after a change, checked before a class.

mod chart;
mod chart_signals;
mod design;
mod draft;
mod establish;
mod estimate;
mod evidence;
mod like_coloured;
mod more_papers;
mod outliers;
mod pooled;
mod recompute;
mod show;
mod show_numbers;
mod spot_place;
pub(crate) mod standards;
mod suitability;
mod suitability_lines;
mod verify;
mod verify_pairs;
mod wanted_sheets;

pub use chart::{ChartRequest, Charts, control_charts};
pub use design::{DyeRuns, PaperRun, SessionRun};
pub use establish::{EstablishRequest, Established, establish};
pub use estimate::{Estimate, SMALLEST_HALF_WIDTH};
pub use evidence::{Evidence, EvidenceSheet};
pub use more_papers::{PlannedRange, more_papers};
pub use outliers::Flag;
pub use pooled::Pooling;
pub use show::{ShownReferences, show_references};
pub use spot_place::{SpotPlace, exclude_spot};
pub use standards::{LeftOut, StandardSpot, WhyLeftOut};
pub use suitability::{Suitability, check_suitability};
pub use suitability_lines::Noted;
pub use verify::{DyeVerdict, Verdict, Verification, VerifyRequest, verify_references};

/// Program and version, as documents say it.
pub(crate) fn program() -> String {
    format!("dyebook {}", env!("CARGO_PKG_VERSION"))
}
