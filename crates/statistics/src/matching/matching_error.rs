//! What keeps a matching from being found.

/// Why a matching, or its probabilities, can't be had.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MatchingError {
    /// There is no row or no column.
    #[error("there is nothing to match")]
    Empty,
    /// Rows differ in length, or a price or weight is missing.
    #[error("row {row} holds {found} entries, {expected} expected")]
    Ragged {
        /// Position of the row, from 0.
        row: usize,
        /// Entries found.
        found: usize,
        /// Entries expected.
        expected: usize,
    },
    /// An entry is NaN, or a cost infinite.
    #[error("an entry in row {row} is not a usable number")]
    NotUsable {
        /// Position of the row, from 0.
        row: usize,
    },
    /// No choice has any weight.
    #[error("no way of matching has any weight")]
    Impossible,
    /// The exact answer would take too much.
    #[error("an exact answer would take {needed} cells, more than {limit}")]
    TooLarge {
        /// Cells (or states) needed, or reached when it was given up.
        needed: usize,
        /// The limit.
        limit: usize,
    },
}

impl MatchingError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Empty => "statistics.nothing-to-match",
            Self::Ragged { .. } => "statistics.rows-differ",
            Self::NotUsable { .. } => "statistics.entry-not-usable",
            Self::Impossible => "statistics.matching-impossible",
            Self::TooLarge { .. } => "statistics.matching-too-large",
        }
    }
}
