//! Straight lines and other linear models through points.

mod fit_error;
mod line;
mod linear_model;
mod york_line;

pub use fit_error::FitError;
pub use line::{Line, Predicted, line, weighted_line};
pub use linear_model::{LinearModel, linear_model};
pub use york_line::york_line;
