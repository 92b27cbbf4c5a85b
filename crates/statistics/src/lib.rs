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
//! | [`distribution`] | normal, Student t, chi-square, F: functions and quantiles |
//! | [`planar`] | retardation factor with its uncertainty, resolution, spread, correction by standards |
//! | [`variance_components`] | spread between sessions, between papers, on a paper; the range for a future spot |
//! | [`intervals`] | tolerance and prediction factors |
//! | [`outliers`] | Grubbs, Cochran, Mandel's h and k |
//! | [`least_squares`] | lines, weighted lines, lines with errors in both coordinates, linear models |
//! | [`equivalence`] | is a change too small to matter, and how many papers would tell |
//! | [`control_charts`] | limits, constants, run rules |
//! | [`matching`] | best one-to-one matching; exact probabilities over all matchings |
//! | [`calibration`] | are stated probabilities borne out |
//! | [`uncertainty`] | combining uncertainties, ratios, weighted means |

pub mod calibration;
pub mod control_charts;
pub mod distribution;
pub mod equivalence;
pub mod intervals;
pub mod least_squares;
pub mod matching;
mod numerics;
pub mod outliers;
pub mod planar;
pub mod summary;
pub mod uncertainty;
pub mod variance_components;
