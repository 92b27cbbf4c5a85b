//! Retardation factors of one paper put on the scale of another by standards run beside them.
//!
//! All forms assume that the paper stretches or shifts the scale and keeps the order. A change of
//! order can't be repaired by any of them, so an order that differs is refused.

/// A standard run on the paper: what was observed and what it should have been.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anchor {
    /// Value observed on this paper.
    pub observed: f64,
    /// Value on the scale to correct to.
    pub reference: f64,
}

/// A corrected value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corrected {
    /// The value on the reference scale.
    pub value: f64,
    /// Whether it lies outside the standards, where nothing supports it.
    pub extrapolated: bool,
    /// Slope of the correction here: the factor on the value's uncertainty.
    pub slope: f64,
}

/// Why standards can't correct a paper.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CorrectionError {
    /// Fewer standards than the form needs.
    #[error("{found} standards where at least {needed} are needed")]
    TooFew {
        /// Number needed.
        needed: usize,
        /// Number given.
        found: usize,
    },
    /// A value is not a finite number.
    #[error("a value of standard {index} is not a finite number")]
    NotFinite {
        /// Position of the standard, from 0, in the order given.
        index: usize,
    },
    /// Two standards stand too near each other to carry a line.
    #[error("standards are {gap} apart, at least {needed} is needed")]
    TooNear {
        /// The gap found.
        gap: f64,
        /// The gap needed.
        needed: f64,
    },
    /// The standards' order on this paper differs from the reference.
    #[error("the standard expected at {lower} ran above the one expected at {higher}")]
    OrderDiffers {
        /// Reference value of the one that should run lower.
        lower: f64,
        /// Reference value of the one that should run higher.
        higher: f64,
    },
    /// A standard at 0 can't scale anything.
    #[error("a standard observed at {observed} can't scale the others")]
    NoScale {
        /// The value observed.
        observed: f64,
    },
}

impl CorrectionError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::TooFew { .. } => "statistics.too-few-standards",
            Self::NotFinite { .. } => "statistics.value-not-finite",
            Self::TooNear { .. } => "statistics.standards-too-near",
            Self::OrderDiffers { .. } => "statistics.standards-order-differs",
            Self::NoScale { .. } => "statistics.standard-at-zero",
        }
    }
}

/// The standards sorted by reference, with finite values, one order and the gap asked for.
fn sorted(
    anchors: &[Anchor],
    needed: usize,
    minimum_gap: f64,
) -> Result<Vec<Anchor>, CorrectionError> {
    if anchors.len() < needed {
        return Err(CorrectionError::TooFew {
            needed,
            found: anchors.len(),
        });
    }
    let finite = |a: &Anchor| a.observed.is_finite() && a.reference.is_finite();
    if let Some(index) = anchors.iter().position(|anchor| !finite(anchor)) {
        return Err(CorrectionError::NotFinite { index });
    }
    let mut sorted = anchors.to_vec();
    sorted.sort_by(|a, b| a.reference.total_cmp(&b.reference));
    for pair in sorted.windows(2) {
        let gap = pair[1].reference - pair[0].reference;
        if gap <= 0.0 || gap < minimum_gap {
            return Err(CorrectionError::TooNear {
                gap,
                needed: minimum_gap,
            });
        }
        if pair[1].observed <= pair[0].observed {
            let (lower, higher) = (pair[0].reference, pair[1].reference);
            return Err(CorrectionError::OrderDiffers { lower, higher });
        }
    }
    Ok(sorted)
}

/// Corrects by one standard: everything is scaled by the same factor.
///
/// # Shape and units
/// Values of one scale (Rf or hRF); the standard observed above 0. Any value other than the
/// standard's own counts as extrapolated, as one point supports no line.
///
/// # Formula
/// ```text
/// R_corr = R · reference / observed          (relative retardation times the reference)
/// ```
///
/// # Errors
/// [`CorrectionError::NoScale`], [`CorrectionError::NotFinite`].
///
/// # Source
/// IUPAC1993, p. 845 (relative retardation)
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::{Anchor, correct_by_one};
/// let standard = Anchor { observed: 0.40, reference: 0.42 };
/// assert!((correct_by_one(standard, 0.20)?.value - 0.21).abs() < 1e-15);
/// # Ok::<(), dyebook_statistics::planar::CorrectionError>(())
/// ```
#[expect(
    clippy::float_cmp,
    reason = "only the very value of the standard is supported"
)]
pub fn correct_by_one(standard: Anchor, value: f64) -> Result<Corrected, CorrectionError> {
    sorted(&[standard], 1, 0.0)?;
    if standard.observed <= 0.0 {
        return Err(CorrectionError::NoScale {
            observed: standard.observed,
        });
    }
    let slope = standard.reference / standard.observed;
    Ok(Corrected {
        value: value * slope,
        extrapolated: value != standard.observed,
        slope,
    })
}

/// Corrects by the straight line through two standards.
///
/// # Shape and units
/// Values of one scale; the standards at least `minimum_gap` apart on the reference scale and in
/// the same order on both.
///
/// # Formula
/// ```text
/// R_corr = a + (R - A') (b - a) / (B' - A')        a, b reference;  A', B' observed
/// ```
///
/// # Errors
/// [`CorrectionError::TooNear`], [`CorrectionError::OrderDiffers`], [`CorrectionError::NotFinite`].
///
/// # Source
/// GalanosKapoulas1964, J. Chromatogr. 13, 128
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::{Anchor, correct_by_two};
/// let low = Anchor { observed: 15.0, reference: 11.0 };
/// let high = Anchor { observed: 78.0, reference: 71.0 };
/// let corrected = correct_by_two(low, high, 50.0, 20.0)?;
/// assert!((corrected.value - 44.3333).abs() < 1e-4 && !corrected.extrapolated);
/// assert!(correct_by_two(low, high, 85.0, 20.0)?.extrapolated);
/// # Ok::<(), dyebook_statistics::planar::CorrectionError>(())
/// ```
pub fn correct_by_two(
    first: Anchor,
    second: Anchor,
    value: f64,
    minimum_gap: f64,
) -> Result<Corrected, CorrectionError> {
    let anchors = sorted(&[first, second], 2, minimum_gap)?;
    let extrapolated = value < anchors[0].observed || value > anchors[1].observed;
    Ok(on_line(anchors[0], anchors[1], value, extrapolated))
}

/// Corrects by straight pieces between neighbouring standards, with the ends 0 and `full_scale`
/// as fixed points.
///
/// # Shape and units
/// Values of one scale, `full_scale` 1 for Rf and 100 for hRF. At least one standard, neighbours
/// at least `minimum_gap` apart on the reference scale. A standard at an end (0 or full scale on
/// both scales) takes the end's place.
///
/// # Formula
/// ```text
/// between neighbours (A', a) and (B', b):   R_corr = a + (R - A') (b - a) / (B' - A')
/// (0, 0) and (full, full) are neighbours too; beyond them the outermost piece goes on
/// ```
///
/// Values outside the outermost standards rest on an end that nobody measured, so they are marked
/// extrapolated.
///
/// # Errors
/// [`CorrectionError::TooFew`], [`CorrectionError::TooNear`], [`CorrectionError::OrderDiffers`]
/// (also when a standard ran below 0 or above full scale), [`CorrectionError::NotFinite`].
///
/// # Source
/// Clarke, Analysis of Drugs and Poisons, TLC systems (reference sets); rule of polygonal
/// correction as in deZeeuw1992 (DFG Report XVII), from memory
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::{Anchor, correct_by_polygon};
/// let run = [(15.0, 11.0), (40.0, 36.0), (60.0, 54.0), (78.0, 71.0)];
/// let anchors = run.map(|(observed, reference)| Anchor { observed, reference });
/// assert!((correct_by_polygon(&anchors, 50.0, 100.0, 5.0)?.value - 45.0).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::planar::CorrectionError>(())
/// ```
pub fn correct_by_polygon(
    anchors: &[Anchor],
    value: f64,
    full_scale: f64,
    minimum_gap: f64,
) -> Result<Corrected, CorrectionError> {
    let measured = sorted(anchors, 1, minimum_gap)?;
    let (lowest, highest) = (measured[0].observed, measured[measured.len() - 1].observed);
    let end = |at: f64| Anchor {
        observed: at,
        reference: at,
    };
    let mut corners = measured;
    if corners[0] != end(0.0) {
        corners.insert(0, end(0.0));
    }
    if corners[corners.len() - 1] != end(full_scale) {
        corners.push(end(full_scale));
    }
    let corners = sorted(&corners, 2, 0.0)?;
    let piece = corners[1..corners.len() - 1]
        .iter()
        .take_while(|c| c.observed < value)
        .count();
    let extrapolated = value < lowest || value > highest;
    Ok(on_line(
        corners[piece],
        corners[piece + 1],
        value,
        extrapolated,
    ))
}

fn on_line(low: Anchor, high: Anchor, value: f64, extrapolated: bool) -> Corrected {
    let slope = (high.reference - low.reference) / (high.observed - low.observed);
    Corrected {
        value: low.reference + (value - low.observed) * slope,
        extrapolated,
        slope,
    }
}

/// Root mean square of what a correction leaves on standards that were not used for it.
///
/// # Shape and units
/// Corrected and reference values of the standards held back, in one scale; at least one pair.
///
/// # Formula
/// ```text
/// √[ Σ (R_corr - reference)² / n ]
/// ```
///
/// # Errors
/// [`CorrectionError::TooFew`], [`CorrectionError::NotFinite`].
///
/// # Source
/// Definition; used as the residual check beside GalanosKapoulas1964
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::correction_residual;
/// // three dyes of one student run after correction by two others: worse than before
/// let left = correction_residual(&[(0.333, 0.42), (0.567, 0.56), (0.667, 0.46)])?;
/// assert!((left - 0.129).abs() < 1e-3);
/// # Ok::<(), dyebook_statistics::planar::CorrectionError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "a paper has few lanes")]
pub fn correction_residual(pairs: &[(f64, f64)]) -> Result<f64, CorrectionError> {
    if pairs.is_empty() {
        return Err(CorrectionError::TooFew {
            needed: 1,
            found: 0,
        });
    }
    if let Some(index) = pairs.iter().position(|(a, b)| !(a - b).is_finite()) {
        return Err(CorrectionError::NotFinite { index });
    }
    let squares: f64 = pairs
        .iter()
        .map(|(corrected, expected)| (corrected - expected).powi(2))
        .sum();
    Ok((squares / pairs.len() as f64).sqrt())
}
