//! Is a change too small to matter? Equivalence of two means, and the papers it takes.

mod equivalence_error;
mod half_width;
mod papers_needed;
mod tost;

pub use equivalence_error::EquivalenceError;
pub use half_width::{paired_half_width, unpaired_half_width};
pub use papers_needed::{Design, papers_needed};
pub use tost::{Equivalence, paired_equivalence, unpaired_equivalence};
