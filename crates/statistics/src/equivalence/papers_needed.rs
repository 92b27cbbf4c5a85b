//! How many papers an equivalence test takes.

use super::equivalence_error::positive;
use super::{EquivalenceError, paired_half_width, unpaired_half_width};
use crate::distribution::normal_cdf;

/// How old and new are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Design {
    /// On papers of their own; the answer counts papers of each.
    Unpaired,
    /// Side by side on the same papers.
    Paired,
}

/// Where the search ends: more papers than any lab runs for one question.
const LIMIT: usize = 10_000;

/// Smallest number of papers with which the test is expected to decide for equivalence.
///
/// # Shape and units
/// `sd` of one paper (unpaired) or of one paper's difference (paired); `limit` and the `difference`
/// expected in the same unit; `risk` as in the test; `power` the probability wanted of passing, 0
/// for the number with which passing is just possible.
///
/// # Formula
/// ```text
/// smallest n with  h(n) + |difference| < limit   and
/// Φ[(limit - h - difference)/u] - Φ[(-limit + h - difference)/u] ≥ power
/// h half-width of the 1 - 2·risk interval at this SD,   u = s √(2/n)  or  s_d / √n
/// ```
///
/// The SD counts as known and its estimate as equal to it, so a little more is wise below 6 papers.
///
/// # Errors
/// [`EquivalenceError::OutOfRange`], [`EquivalenceError::Distribution`],
/// [`EquivalenceError::TooMany`], also where the difference is not below the limit.
///
/// # Source
/// Schuirmann1987 (power of the two one-sided tests, normal form)
///
/// # Examples
/// ```
/// use dyebook_statistics::equivalence::{Design, papers_needed};
/// // with a paper-to-paper SD of 0.02 three papers can never pass at 0.03, four barely
/// assert_eq!(papers_needed(Design::Unpaired, 0.02, 0.03, 0.0, 0.05, 0.0)?, 4);
/// # Ok::<(), dyebook_statistics::equivalence::EquivalenceError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few papers")]
pub fn papers_needed(
    design: Design,
    sd: f64,
    limit: f64,
    difference: f64,
    risk: f64,
    power: f64,
) -> Result<usize, EquivalenceError> {
    let (sd, limit) = (
        positive("standard deviation", sd)?,
        positive("limit", limit)?,
    );
    if !(0.0..1.0).contains(&power) {
        return Err(EquivalenceError::OutOfRange {
            what: "power",
            value: power,
        });
    }
    if difference.is_nan() || difference.abs() >= limit {
        return Err(EquivalenceError::TooMany { limit: LIMIT });
    }
    for n in 2..=LIMIT {
        let (half_width, spread) = match design {
            Design::Unpaired => (unpaired_half_width(sd, n, n, 1.0 - 2.0 * risk)?, 2.0_f64),
            Design::Paired => (paired_half_width(sd, n, 1.0 - 2.0 * risk)?, 1.0),
        };
        let room = limit - half_width;
        let u = sd * (spread / n as f64).sqrt();
        let passing = normal_cdf((room - difference) / u) - normal_cdf((-room - difference) / u);
        if room > difference.abs() && passing >= power {
            return Ok(n);
        }
    }
    Err(EquivalenceError::TooMany { limit: LIMIT })
}
