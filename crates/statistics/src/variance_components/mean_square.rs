//! A mean square with its degrees of freedom.

/// A mean square and the degrees of freedom behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeanSquare {
    /// Sum of squares over degrees of freedom; 0 where there are none.
    pub value: f64,
    /// Degrees of freedom, 0 where the design has none at this level.
    pub df: f64,
}
