//! How far a spot lies from a reference, in standard deviations.

use dyebook_plugin::strategy::Reference;

/// What a standard deviation rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Standard deviations of the reference.
    Established,
    /// Half of the half width of the expected range.
    ExpectedRange,
}

/// The reproducibility standard deviation of a reference.
///
/// # Shape and units
/// Rf, no unit.
///
/// # Formula
/// ```text
/// s = sqrt(s_w² + s_P² + s_I²)      components that are known (within paper, between papers,
///                                   between sessions)
/// s = (high - low) / 4              where none is known: the range is taken as ± 2 s
/// ```
/// A component that is not known counts as 0, so the result is then too small rather than invented.
/// A reference with all components 0 is treated as one without.
///
/// # Source
/// Components in quadrature: ISO 5725-2:2019, 8.2 (reproducibility from its components). The range
/// as ± 2 s: common practice, no source.
///
/// # Examples
/// ```
/// use dyebook_plugin::strategy::Reference;
/// use dyebook_strategy_nearest::{Basis, spread};
/// let (s, basis) = spread(&Reference::new("amaranth", 0.40, 0.48));
/// assert!((s - 0.02).abs() < 1e-12);
/// assert_eq!(basis, Basis::ExpectedRange);
/// ```
pub fn spread(reference: &Reference) -> (f64, Basis) {
    let components = reference.sd.map(|sd| {
        [sd.within_paper, sd.between_papers, sd.between_sessions]
            .into_iter()
            .flatten()
            .map(|component| component * component)
            .sum::<f64>()
    });
    match components {
        Some(variance) if variance > 0.0 => (variance.sqrt(), Basis::Established),
        _ => {
            let width = reference.expected_rf.high - reference.expected_rf.low;
            (width / 4.0, Basis::ExpectedRange)
        }
    }
}

/// The standardised distance of an Rf from a reference. Where neither has any spread, an equal Rf
/// is at distance 0 and every other one infinitely far away.
pub(crate) fn standardised(rf: f64, u: f64, reference: &Reference) -> f64 {
    let difference = rf - reference.centre();
    let (s, _) = spread(reference);
    let scale = s.hypot(u);
    if scale > 0.0 {
        difference / scale
    } else if difference.abs() < 1e-12 {
        0.0
    } else {
        f64::INFINITY.copysign(difference)
    }
}
