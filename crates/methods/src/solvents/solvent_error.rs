//! Why solvents can't be compared or predicted.

use dyebook_statistics::least_squares::FitError;
use dyebook_statistics::planar::PlanarError;
use dyebook_statistics::uncertainty::UncertaintyError;

/// Why solvents can't be compared or predicted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SolventError {
    /// Nothing to compare.
    #[error("comparing solvents needs at least one method version")]
    NoMethod,
    /// Too few dyes in all of them.
    #[error("the methods share {found} of the dyes asked for, and at least 2 are needed")]
    TooFewDyes {
        /// Dyes in all of them.
        found: usize,
    },
    /// A dye that no method has a reference for.
    #[error("no method here has a reference of `{dye}`")]
    UnknownDye {
        /// The dye.
        dye: String,
    },
    /// A window that is none.
    #[error("a window of {window} in Rf is none; it lies between 0 and 1")]
    BadWindow {
        /// The window.
        window: f64,
    },
    /// A number that statistics refuses.
    #[error(transparent)]
    Planar(#[from] PlanarError),
    /// A number that statistics refuses.
    #[error(transparent)]
    Correlation(#[from] UncertaintyError),
    /// A fit that statistics refuses.
    #[error(transparent)]
    Fit(#[from] FitError),
}

impl SolventError {
    /// A name that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::NoMethod => "solvent.no-method",
            Self::TooFewDyes { .. } => "solvent.too-few-dyes",
            Self::UnknownDye { .. } => "solvent.unknown-dye",
            Self::BadWindow { .. } => "solvent.bad-window",
            Self::Planar(error) => error.id(),
            Self::Correlation(error) => error.id(),
            Self::Fit(error) => error.id(),
        }
    }

    /// What to do about it.
    pub fn hints(&self) -> Vec<String> {
        match self {
            Self::TooFewDyes { .. } => {
                vec![
                    "add references of the same dyes to each method, or name other dyes".to_owned(),
                ]
            }
            Self::UnknownDye { .. } => {
                vec!["`dyebook method show` lists a method's dyes".to_owned()]
            }
            Self::BadWindow { .. } => vec!["0.05 is a usual window".to_owned()],
            _ => Vec::new(),
        }
    }
}
