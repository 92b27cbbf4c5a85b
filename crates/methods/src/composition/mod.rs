//! What is in a developing solvent: one canonical form, whatever the recipe's wording.

mod basis_readings;
mod canonical;
mod composition_error;
mod densities;
mod litre;
mod predicted_ph;
mod same_liquid;
mod stock_content;
mod stocks;
mod substances;
mod way_to_volume;

pub use basis_readings::{BasisReading, BasisReadings, basis_readings, digits, missing_bases};
pub use canonical::{CanonicalComposition, Content, canonical};
pub use composition_error::CompositionError;
pub use densities::{DensityUsed, aqueous_density, pure_density};
pub use predicted_ph::{NotPredictable, PredictedPh, predicted_ph};
pub use same_liquid::{ContentDifference, SAME_LIQUID_TOLERANCE, content_differences, same_liquid};
pub use stock_content::{StockContent, stock_content};
pub use stocks::{KnownStock, known_stock, known_stocks, stocks_of};
pub use substances::{
    Acid, Base, HazardNote, Sourced, Substance, WATER, near_substance, substance, substance_key,
    substances,
};
pub use way_to_volume::{WayToVolume, way_to_volume};

pub(crate) use canonical::g_per_l_per_unit;
pub(crate) use densities::solution_of;

/// The name shown for a substance: the known one, else as it is written.
pub(crate) fn shown_name(name: &str) -> String {
    substance(name).map_or_else(|| name.to_owned(), |known| known.name.clone())
}

#[cfg(test)]
mod tests;
