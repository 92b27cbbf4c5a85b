//! Does the paper work: lanes, pitch, depth of the liquid, run.

mod depth;

pub use depth::depth_cm;
