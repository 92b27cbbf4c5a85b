//! How a developing solvent is made up from the stocks at hand.

mod batch;
mod dilution;
mod filler;
mod glassware;
mod make_up;
mod measuring;
mod mixing_order;
mod poured_lines;
mod stock_at_hand;

pub use batch::{BatchDetails, BatchLine, BatchRecord, Label, RecipeAnswer, recipe_answer};
pub use dilution::{diluted_concentration, largest_volume, stock_volume};
pub use glassware::{Measured, measured_g, measured_ml};
pub use make_up::{Filler, Recipe, RecipeError, RecipeLine, recipe};
pub use measuring::MeasuringOption;
pub use stock_at_hand::{NotAStock, StockAtHand};

pub(crate) use stock_at_hand::amount_and_basis;

#[cfg(test)]
mod tests;
