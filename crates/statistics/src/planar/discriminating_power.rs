//! How many pairs of a set of dyes one or several systems tell apart.

use super::PlanarError;

/// Slack on the window, so that 0.56 and 0.46 count as 0.10 apart: in binary their difference is
/// 0.10000000000000003. Far below any reading, far above rounding.
const SLACK: f64 = 1e-9;

fn checked(systems: &[&[f64]], window: f64) -> Result<usize, PlanarError> {
    if !(window >= 0.0 && window.is_finite()) {
        return Err(PlanarError::Negative {
            what: "window",
            value: window,
        });
    }
    let Some(first) = systems.first() else {
        return Err(PlanarError::TooFew {
            needed: 1,
            found: 0,
        });
    };
    for system in systems {
        if system.len() != first.len() {
            return Err(PlanarError::LengthsDiffer {
                left: first.len(),
                right: system.len(),
            });
        }
        if system.iter().any(|value| !value.is_finite()) {
            return Err(PlanarError::NotFinite {
                what: "retardation factor",
            });
        }
    }
    if first.len() < 2 {
        return Err(PlanarError::TooFew {
            needed: 2,
            found: first.len(),
        });
    }
    Ok(first.len())
}

/// Number of pairs that no system tells apart.
///
/// # Shape and units
/// `systems[s][i]` is the value of substance `i` in system `s`, as Rf or hRF; `window` in the same
/// unit. At least one system and two substances, all systems of one length.
///
/// # Formula
/// ```text
/// M = #{ i < j : |x_s(i) - x_s(j)| ≤ E  in every system s }
/// ```
///
/// A difference equal to the window counts as not told apart; the comparison allows 1e-9, because
/// 0.56 - 0.46 > 0.10 in binary arithmetic.
///
/// # Errors
/// [`PlanarError::TooFew`], [`PlanarError::LengthsDiffer`], [`PlanarError::Negative`] for the
/// window, [`PlanarError::NotFinite`].
///
/// # Source
/// SmalldonMoffat1973; MoffatSmalldonBrown1974, J. Chromatogr. 90, 1
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::pairs_not_separated;
/// let rf = [1.00, 0.00, 0.20, 0.42, 0.56, 0.46];
/// assert_eq!(pairs_not_separated(&[&rf], 0.10)?, 2);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
pub fn pairs_not_separated(systems: &[&[f64]], window: f64) -> Result<usize, PlanarError> {
    let n = checked(systems, window)?;
    let together = |i: usize, j: usize| {
        systems
            .iter()
            .all(|system| (system[i] - system[j]).abs() <= window + SLACK)
    };
    Ok((0..n)
        .map(|i| (i + 1..n).filter(|&j| together(i, j)).count())
        .sum())
}

/// Discriminating power: the share of pairs told apart by at least one system.
///
/// # Shape and units
/// As for [`pairs_not_separated`]; from 0 to 1.
///
/// # Formula
/// ```text
/// DP = 1 - 2M / [N (N - 1)]
/// ```
///
/// # Errors
/// As for [`pairs_not_separated`].
///
/// # Source
/// SmalldonMoffat1973, J. Forensic Sci. Soc. 13, 291
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::discriminating_power;
/// let hrf = [100.0, 0.0, 20.0, 42.0, 56.0, 46.0];
/// assert!((discriminating_power(&[&hrf], 5.0)? - 0.9333).abs() < 1e-4);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "a set of dyes is small")]
pub fn discriminating_power(systems: &[&[f64]], window: f64) -> Result<f64, PlanarError> {
    let together = pairs_not_separated(systems, window)? as f64;
    let n = systems[0].len() as f64;
    Ok(1.0 - 2.0 * together / (n * (n - 1.0)))
}

/// Mean list length: how many candidates an average substance is left with, itself included.
///
/// # Shape and units
/// As for [`pairs_not_separated`]; from 1 to N.
///
/// # Formula
/// ```text
/// MLL = 1 + 2M / N  =  1 + (N - 1)(1 - DP)
/// ```
///
/// The window form; the original counts candidates not rejected at 5 % under a normal error.
///
/// # Errors
/// As for [`pairs_not_separated`].
///
/// # Source
/// Schepers1983, J. Anal. Toxicol. 7, 272
///
/// # Examples
/// ```
/// use dyebook_statistics::planar::mean_list_length;
/// let hrf = [100.0, 0.0, 20.0, 42.0, 56.0, 46.0];
/// assert!((mean_list_length(&[&hrf], 5.0)? - 1.3333).abs() < 1e-4);
/// # Ok::<(), dyebook_statistics::planar::PlanarError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "a set of dyes is small")]
pub fn mean_list_length(systems: &[&[f64]], window: f64) -> Result<f64, PlanarError> {
    let together = pairs_not_separated(systems, window)? as f64;
    Ok(1.0 + 2.0 * together / systems[0].len() as f64)
}
