//! Why no Rf is predicted for a composition.

use super::solvent_error::SolventError;
use crate::composition::CompositionError;
use dyebook_documents::counted;

/// Why no Rf is predicted for a composition.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PredictError {
    /// The composition can't be told.
    #[error(transparent)]
    Composition(#[from] CompositionError),
    /// Too few measured compositions.
    #[error(
        "{}, and at least 3 are needed",
        few(*found, axis)
    )]
    TooFewCompositions {
        /// What varies.
        axis: String,
        /// How many there are.
        found: usize,
    },
    /// Outside what was measured.
    #[error("{axis} at {at} g/L lies outside the measured {low} to {high} g/L")]
    Extrapolation {
        /// What varies.
        axis: String,
        /// The composition asked for, g/L.
        at: String,
        /// Lowest measured, g/L.
        low: String,
        /// Highest measured, g/L.
        high: String,
    },
    /// Measured already.
    #[error("this liquid was measured: {method}")]
    Measured {
        /// The method version.
        method: String,
    },
    /// A text that names no composition.
    #[error("`{text}` is no amount of a component: {why}")]
    BadAmount {
        /// The text.
        text: String,
        /// What is wrong with it.
        why: String,
    },
    /// Every dye was refused.
    #[error("none of the dyes can be predicted: {reasons}")]
    NoDye {
        /// Why, dye by dye.
        reasons: String,
    },
    /// A number that statistics refuses.
    #[error(transparent)]
    Solvent(#[from] SolventError),
}

impl PredictError {
    /// A name that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Composition(error) => error.id(),
            Self::TooFewCompositions { .. } => "predict.too-few-compositions",
            Self::Extrapolation { .. } => "predict.extrapolation",
            Self::Measured { .. } => "predict.measured-already",
            Self::BadAmount { .. } => "predict.bad-amount",
            Self::NoDye { .. } => "predict.no-dye",
            Self::Solvent(error) => error.id(),
        }
    }

    /// What to do about it.
    pub fn hints(&self) -> Vec<String> {
        let one = |text: &str| vec![text.to_owned()];
        match self {
            Self::Composition(error) => error.hints(),
            Self::TooFewCompositions { .. } => {
                one("measure references at more compositions, and keep them as method versions")
            }
            Self::Extrapolation { .. } => {
                one("measure a composition beyond it: lines bend, and nothing warns of it")
            }
            Self::Measured { method } => {
                vec![format!(
                    "`dyebook reference show {method}` has the measured values"
                )]
            }
            Self::BadAmount { .. } => one("write it as `sodium chloride = 2 % w/v`"),
            Self::NoDye { .. } => one("run the dyes in the new liquid"),
            Self::Solvent(error) => error.hints(),
        }
    }
}

/// How many measured compositions vary along an axis alone: `1 measured composition differs from
/// this one in sodium chloride alone`.
fn few(found: usize, axis: &str) -> String {
    let differ = if found == 1 { "differs" } else { "differ" };
    format!(
        "{} {differ} from this one in {axis} alone",
        counted(found, "measured composition")
    )
}
