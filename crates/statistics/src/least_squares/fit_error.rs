//! What keeps a line from being fitted.

/// Why points carry no fit.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FitError {
    /// Series that belong together differ in length.
    #[error("{left} values stand beside {right}")]
    LengthsDiffer {
        /// Length of the first series.
        left: usize,
        /// Length of the other.
        right: usize,
    },
    /// Fewer points than the model needs.
    #[error("{found} points where at least {needed} are needed")]
    TooFew {
        /// Number needed.
        needed: usize,
        /// Number found.
        found: usize,
    },
    /// A value is not finite, or an uncertainty not above 0.
    #[error("point {index} has a value that is not finite or an uncertainty that is not above 0")]
    Point {
        /// Position of the point, from 0.
        index: usize,
    },
    /// The points don't determine the model, for instance all `x` equal.
    #[error("the points don't determine the model")]
    Undetermined,
    /// The line is level, so no `x` belongs to a `y`.
    #[error("the line is level, so it can't be read backwards")]
    Level,
    /// The iteration did not settle.
    #[error("the fit did not settle in {steps} steps")]
    NotSettled {
        /// Steps taken.
        steps: usize,
    },
}

impl FitError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::LengthsDiffer { .. } => "statistics.lengths-differ",
            Self::TooFew { .. } => "statistics.too-few-points",
            Self::Point { .. } => "statistics.point-unusable",
            Self::Undetermined => "statistics.fit-undetermined",
            Self::Level => "statistics.line-level",
            Self::NotSettled { .. } => "statistics.fit-not-settled",
        }
    }
}

/// Checks that `x` and `y` match, are finite and hold at least `needed` points.
pub(super) fn check(x: &[f64], y: &[f64], needed: usize) -> Result<(), FitError> {
    if x.len() != y.len() {
        return Err(FitError::LengthsDiffer {
            left: x.len(),
            right: y.len(),
        });
    }
    if let Some(index) = x
        .iter()
        .zip(y)
        .position(|(x, y)| !(x.is_finite() && y.is_finite()))
    {
        return Err(FitError::Point { index });
    }
    if x.len() < needed {
        return Err(FitError::TooFew {
            needed,
            found: x.len(),
        });
    }
    Ok(())
}

/// Checks that `u` belongs to `x` and holds only finite values above 0.
pub(super) fn check_uncertainties(x: &[f64], u: &[f64]) -> Result<(), FitError> {
    if x.len() != u.len() {
        return Err(FitError::LengthsDiffer {
            left: x.len(),
            right: u.len(),
        });
    }
    match u.iter().position(|u| !(*u > 0.0 && u.is_finite())) {
        Some(index) => Err(FitError::Point { index }),
        None => Ok(()),
    }
}
