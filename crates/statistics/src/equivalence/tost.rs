//! Two one-sided tests of equivalence.

use super::equivalence_error::positive;
use super::{EquivalenceError, paired_half_width, unpaired_half_width};
use crate::summary::{mean, standard_deviation};

/// Outcome of an equivalence test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Equivalence {
    /// Mean difference, second less first.
    pub difference: f64,
    /// Half-width of its interval.
    pub half_width: f64,
    /// Standard deviation the interval rests on: of one paper, or of one paper's difference.
    pub sd: f64,
    /// The difference that would matter.
    pub limit: f64,
}

impl Equivalence {
    /// Whether the interval lies inside the limits, so that the change doesn't matter.
    ///
    /// # Formula
    /// ```text
    /// |difference| + half_width < limit
    /// ```
    ///
    /// # Source
    /// Schuirmann1987
    pub fn equivalent(&self) -> bool {
        self.difference.abs() + self.half_width < self.limit
    }

    /// Whether the interval lies outside the limits, so that the change does matter.
    ///
    /// # Formula
    /// ```text
    /// |difference| - half_width > limit
    /// ```
    ///
    /// With neither, the papers can't decide: see [`super::papers_needed`].
    ///
    /// # Source
    /// Schuirmann1987 (the same interval read from outside)
    pub fn different(&self) -> bool {
        self.difference.abs() - self.half_width > self.limit
    }
}

/// Equivalence of two groups of papers.
///
/// # Shape and units
/// One value a paper, at least two papers a group; `limit` above 0 in their unit; `risk` of calling
/// a change harmless that isn't (0.05 gives the 90 % interval).
///
/// # Formula
/// ```text
/// s² = [ (n1-1)s1² + (n2-1)s2² ] / (n1+n2-2)
/// d̄ ± t(1-risk, n1+n2-2) · s · √(1/n1 + 1/n2)  inside  ±limit
/// ```
///
/// One spread for both groups is assumed.
///
/// # Errors
/// [`EquivalenceError::Summary`], [`EquivalenceError::OutOfRange`] (also where nothing scatters),
/// [`EquivalenceError::Distribution`].
///
/// # Source
/// Schuirmann1987, J. Pharmacokin. Biopharm. 15, 657
///
/// # Examples
/// ```
/// use dyebook_statistics::equivalence::unpaired_equivalence;
/// let old = [0.41, 0.43, 0.40, 0.42, 0.44, 0.42];
/// let new = [0.42, 0.43, 0.41, 0.41, 0.44, 0.43];
/// assert!(unpaired_equivalence(&old, &new, 0.03, 0.05)?.equivalent());
/// # Ok::<(), dyebook_statistics::equivalence::EquivalenceError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "few papers")]
pub fn unpaired_equivalence(
    first: &[f64],
    second: &[f64],
    limit: f64,
    risk: f64,
) -> Result<Equivalence, EquivalenceError> {
    let (df1, df2) = (first.len() as f64 - 1.0, second.len() as f64 - 1.0);
    let squares =
        df1 * standard_deviation(first)?.powi(2) + df2 * standard_deviation(second)?.powi(2);
    let sd = (squares / (df1 + df2)).sqrt();
    Ok(Equivalence {
        difference: mean(second)? - mean(first)?,
        half_width: unpaired_half_width(sd, first.len(), second.len(), 1.0 - 2.0 * risk)?,
        sd,
        limit: positive("limit", limit)?,
    })
}

/// Equivalence of two lots run side by side on the same papers.
///
/// # Shape and units
/// One difference (new less old) a paper, at least two; otherwise as for [`unpaired_equivalence`].
///
/// # Formula
/// ```text
/// d̄ ± t(1-risk, n-1) · s_d / √n  inside  ±limit
/// ```
///
/// # Errors
/// As for [`unpaired_equivalence`].
///
/// # Source
/// Schuirmann1987, J. Pharmacokin. Biopharm. 15, 657
///
/// # Examples
/// ```
/// use dyebook_statistics::equivalence::paired_equivalence;
/// let test = paired_equivalence(&[0.005, -0.004, 0.006, 0.001], 0.03, 0.05)?;
/// assert!(test.equivalent() && !test.different());
/// # Ok::<(), dyebook_statistics::equivalence::EquivalenceError>(())
/// ```
pub fn paired_equivalence(
    differences: &[f64],
    limit: f64,
    risk: f64,
) -> Result<Equivalence, EquivalenceError> {
    let sd = standard_deviation(differences)?;
    Ok(Equivalence {
        difference: mean(differences)?,
        half_width: paired_half_width(sd, differences.len(), 1.0 - 2.0 * risk)?,
        sd,
        limit: positive("limit", limit)?,
    })
}
