//! How evenly a set of dyes is spread over the paper.

use super::PlanarError;

/// The factors sorted, each within 0 to 1.
fn sorted(rf: &[f64], needed: usize) -> Result<Vec<f64>, PlanarError> {
    if rf.len() < needed {
        return Err(PlanarError::TooFew {
            needed,
            found: rf.len(),
        });
    }
    if let Some(&value) = rf.iter().find(|value| !(0.0..=1.0).contains(*value)) {
        let what = "retardation factor";
        return Err(PlanarError::OutOfRange {
            what,
            value,
            low: 0.0,
            high: 1.0,
        });
    }
    let mut sorted = rf.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    Ok(sorted)
}

/// The n+1 gaps between neighbours, with the start line (0) and the front (1) as outer ones.
fn gaps(sorted: &[f64]) -> impl Iterator<Item = f64> {
    let before = std::iter::once(0.0).chain(sorted.iter().copied());
    let after = sorted.iter().copied().chain(std::iter::once(1.0));
    before.zip(after).map(|(low, high)| high - low)
}

/// Retention uniformity RU of a set of dyes.
///
/// # Shape and units
/// At least one retardation factor, in any order, each from 0 to 1. The result is 1 for equal
/// steps and falls to 0 when all stand at one end.
///
/// # Formula
/// ```text
/// RU = 1 - √{ 6(n+1) / [n(2n+1)] · Σ (Rf_i - i/(n+1))² }        Rf sorted
/// ```
///
/// Stays above 0 when two dyes coincide: show it beside [`retention_distance`].
///
/// # Errors
/// [`PlanarError::TooFew`], [`PlanarError::OutOfRange`].
///
/// # Source
/// Komsta2007, J. Planar Chromatogr. 20, 27–37
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::retention_uniformity;
/// assert!((retention_uniformity(&[0.0, 0.2, 0.2, 0.3])? - 0.361).abs() < 1e-4);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "a set of dyes is small")]
pub fn retention_uniformity(rf: &[f64]) -> Result<f64, PlanarError> {
    let sorted = sorted(rf, 1)?;
    let n = sorted.len() as f64;
    let squares: f64 = sorted
        .iter()
        .zip(1..)
        .map(|(rf, i)| (rf - f64::from(i) / (n + 1.0)).powi(2))
        .sum();
    Ok(1.0 - (6.0 * (n + 1.0) / (n * (2.0 * n + 1.0)) * squares).sqrt())
}

/// Retention distance RD of a set of dyes.
///
/// # Shape and units
/// At least one retardation factor, in any order, each from 0 to 1. 1 for equal steps, 0 as soon
/// as two dyes coincide or one stands at the start or the front.
///
/// # Formula
/// ```text
/// RD = [ (n+1)^(n+1) · ∏ (Rf_(i+1) - Rf_i) ]^(1/n),   i = 0..n,   Rf_0 = 0, Rf_(n+1) = 1
/// ```
///
/// # Errors
/// [`PlanarError::TooFew`], [`PlanarError::OutOfRange`].
///
/// # Source
/// Komsta2007, J. Planar Chromatogr. 20, 27–37
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::retention_distance;
/// assert!((retention_distance(&[0.1, 0.2, 0.25, 0.3])? - 0.4836).abs() < 1e-4);
/// assert_eq!(retention_distance(&[0.0, 0.2, 0.2, 0.3])?, 0.0);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "a set of dyes is small")]
pub fn retention_distance(rf: &[f64]) -> Result<f64, PlanarError> {
    Ok(multispot_response(rf)?.powf(1.0 / rf.len() as f64))
}

/// Multispot response function MRF of a set of dyes, with the whole paper as limits.
///
/// # Shape and units
/// At least one retardation factor, in any order, each from 0 to 1. From 0 (two coincide) to 1.
///
/// # Formula
/// ```text
/// MRF = ∏ (Rf_(i+1) - Rf_i) · (n+1)^(n+1) = RD^n,   i = 0..n,   Rf_0 = 0, Rf_(n+1) = 1
/// ```
///
/// # Errors
/// [`PlanarError::TooFew`], [`PlanarError::OutOfRange`].
///
/// # Source
/// DeSpiegeleer1987, Anal. Chem. 59, 62–64 (range and behaviour read; exact form from memory)
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::multispot_response;
/// assert!((multispot_response(&[0.25, 0.5, 0.75])? - 1.0).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "a set of dyes is small")]
pub fn multispot_response(rf: &[f64]) -> Result<f64, PlanarError> {
    let sorted = sorted(rf, 1)?;
    let steps = sorted.len() as f64 + 1.0;
    Ok(gaps(&sorted).map(|gap| gap * steps).product())
}

/// Smallest difference between two neighbouring dyes.
///
/// # Shape and units
/// At least two retardation factors, in any order, each from 0 to 1.
///
/// # Formula
/// ```text
/// min (Rf_(i+1) - Rf_i),   i = 1..n-1
/// ```
///
/// # Errors
/// [`PlanarError::TooFew`], [`PlanarError::OutOfRange`].
///
/// # Source
/// Komsta2007 (lists it as the simplest index, attributed to Wang 1996)
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::smallest_gap;
/// assert!((smallest_gap(&[0.56, 0.42, 0.46, 1.0])? - 0.04).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn smallest_gap(rf: &[f64]) -> Result<f64, PlanarError> {
    let sorted = sorted(rf, 2)?;
    Ok(sorted
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .fold(f64::INFINITY, f64::min))
}
