//! Quantities of planar chromatography: where a spot stands, and how well spots stand apart.

mod correction;
mod discriminating_power;
mod planar_error;
mod relative_retardation;
mod resolution;
mod retardation_factor;
mod rm_value;
mod spread;
mod wrong_side_risk;

pub use correction::{
    Anchor, Corrected, CorrectionError, correct_by_one, correct_by_polygon, correct_by_two,
    correction_residual,
};
pub use discriminating_power::{discriminating_power, mean_list_length, pairs_not_separated};
pub use planar_error::PlanarError;
pub use relative_retardation::relative_retardation;
pub use resolution::{resolution, resolution_at_half_height};
pub use retardation_factor::{retardation_factor, retardation_factor_uncertainty};
pub use rm_value::{rf_change_per_rm, rf_of_rm, rm_value};
pub use spread::{multispot_response, retention_distance, retention_uniformity, smallest_gap};
pub use wrong_side_risk::wrong_side_risk;
