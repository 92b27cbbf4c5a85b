//! Does the paper work: lanes, pitch, depth of the liquid, run.

mod assumed;
mod check_layout;
mod constraints;
mod depth;
mod geometry;
mod lanes_that_fit;
mod rolled;

pub use assumed::{
    Assumed, COMMON_PRACTICE, Setting, USUAL_BASELINE_CM, USUAL_FOLD_MARGIN_CM,
    USUAL_FRONT_MARGIN_CM, USUAL_LANES, USUAL_PITCH_CM, USUAL_VOLUME_ML,
};
pub use check_layout::{LayoutAnswer, check_layout};
pub use constraints::{Constraint, LayoutQuestion};
pub use depth::depth_cm;
pub use geometry::{TEMPLATE_NOTE, TemplateGeometry};
pub use lanes_that_fit::lanes_that_fit;
pub use rolled::rolled_diameter_cm;
