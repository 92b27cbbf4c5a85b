//! Pure numerics of planar chromatography and of the precision of its results.
//!
//! Nothing here knows what a dye, a sheet or a method is: numbers in, numbers out, no input or
//! output, no state. One file holds one family of functions; a folder is a topic. Every public
//! function names its shape and units, its formula, where it holds, its errors and its source, and
//! is checked against published numbers kept in `tests/published/` at the root of the project.
//!
//! | topic | what it answers |
//! |---|---|
//! | [`summary`] | mean, standard deviation, median, robust standard deviation |
//! | [`planar`] | retardation factor with its uncertainty, resolution, spread, correction by standards |

pub mod distribution;
mod numerics;
pub mod planar;
pub mod summary;
pub mod variance_components;
pub mod intervals;
pub mod outliers;
