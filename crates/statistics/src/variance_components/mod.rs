//! How much of the spread lies between sessions, between papers, and on one paper.

mod future_spot;
mod mean_square;
mod nested;
mod one_way;
mod pooling;
mod reml;
mod repeatability;
mod satterthwaite;
mod variance_error;

pub use future_spot::{FutureSpot, future_spot};
pub use mean_square::MeanSquare;
pub use nested::{Components, Nested, nested, nested_components};
pub use one_way::{OneWay, one_way};
pub use pooling::{Pooled, pool, squared_correlation, with_pooled};
pub use reml::nested_reml;
pub use repeatability::{Precision, precision};
pub use satterthwaite::satterthwaite_df;
pub use variance_error::VarianceError;
