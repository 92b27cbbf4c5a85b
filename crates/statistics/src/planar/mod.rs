//! Quantities of planar chromatography: where a spot stands, and how well spots stand apart.

mod planar_error;
mod retardation_factor;

pub use planar_error::PlanarError;
pub use retardation_factor::{retardation_factor, retardation_factor_uncertainty};
