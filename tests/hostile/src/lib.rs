//! A place to try plug-ins that misbehave: folders to find them in, approvals, a compiler, and the
//! questions that must be answered afterwards.
#![expect(
    clippy::unwrap_used,
    clippy::missing_panics_doc,
    reason = "helpers of tests: whatever fails here fails the test"
)]

mod bundled;
mod lab;

pub use bundled::{BUNDLED, Panics};
pub use lab::{Lab, children, header_folder, set, zero_spots};
