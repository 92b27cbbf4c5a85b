//! Small helpers of measurement uncertainty: combining, ratios, weighted means.

mod combined;
mod half_width;
mod ratio;
mod uncertainty_error;
mod weighted_mean;

pub use combined::{combined_uncertainty, correlation, welch_satterthwaite};
pub use half_width::{Shape, half_width_uncertainty};
pub use ratio::{ratio_uncertainty, shared_origin_ratio_uncertainty};
pub use uncertainty_error::UncertaintyError;
pub use weighted_mean::{RandomEffectsMean, WeightedMean, random_effects_mean, weighted_mean};
