//! What keeps variance components from being estimated.

/// Why variance components, or an interval from them, can't be had.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum VarianceError {
    /// Fewer groups than needed at some level.
    #[error("{found} {level}s where at least {needed} are needed")]
    TooFew {
        /// The level: `group`, `session`, `dye`.
        level: &'static str,
        /// Number needed.
        needed: usize,
        /// Number found.
        found: usize,
    },
    /// A group holds no value.
    #[error("{level} {index} holds no value")]
    Empty {
        /// The level.
        level: &'static str,
        /// Position of the empty one, from 0.
        index: usize,
    },
    /// A value is not a finite number.
    #[error("a value in {level} {index} is not a finite number")]
    NotFinite {
        /// The level.
        level: &'static str,
        /// Position of the group, from 0.
        index: usize,
    },
    /// No group is repeated, so nothing tells the levels apart.
    #[error("no {level} holds two values, so the spread inside can't be told from that between")]
    NothingRepeated {
        /// The level that is never repeated.
        level: &'static str,
    },
    /// A level of confidence, a correlation or a variance is out of its range.
    #[error("{what} is {value}, outside its range")]
    OutOfRange {
        /// The quantity.
        what: &'static str,
        /// The value given.
        value: f64,
    },
}

impl VarianceError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::TooFew { .. } => "statistics.too-few-groups",
            Self::Empty { .. } => "statistics.group-empty",
            Self::NotFinite { .. } => "statistics.value-not-finite",
            Self::NothingRepeated { .. } => "statistics.nothing-repeated",
            Self::OutOfRange { .. } => "statistics.value-out-of-range",
        }
    }
}
