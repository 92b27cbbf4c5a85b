//! Two nested levels: spots on papers, papers in sessions.

use super::{MeanSquare, VarianceError};
use crate::summary::compensated_sum;

/// Mean squares of a nested layout with the numbers that say what each is an estimate of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nested {
    /// Mean of the session means, each session counting once.
    pub centre: f64,
    /// Number of sessions.
    pub session_count: usize,
    /// Number of papers in all sessions.
    pub paper_count: usize,
    /// Number of spots on all papers.
    pub spot_count: usize,
    /// Variance of the session means.
    pub sessions: MeanSquare,
    /// Variance of the paper means about their session's mean, pooled.
    pub papers: MeanSquare,
    /// Variance of the spots about their paper's mean, pooled.
    pub spots: MeanSquare,
    /// Share of the between-paper variance in `sessions`: the mean of 1/papers.
    pub papers_in_sessions: f64,
    /// Share of the within-paper variance in `sessions`.
    pub spots_in_sessions: f64,
    /// Share of the within-paper variance in `papers`.
    pub spots_in_papers: f64,
}

/// Variances at the three levels; `None` where the design can't tell a level from the one below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Components {
    /// Between spots on one paper.
    pub within_paper: Option<f64>,
    /// Between papers of one session; holds the within-paper variance where no paper has two spots.
    pub between_papers: Option<f64>,
    /// Between sessions; holds the between-paper variance where no session has two papers.
    pub between_sessions: f64,
}

impl Components {
    /// Negative estimates set to 0. Say so wherever the result is shown.
    ///
    /// # Formula
    /// ```text
    /// max(0, σ²)
    /// ```
    ///
    /// # Source
    /// ISO5725-2, 7.4.5.2
    #[must_use]
    pub fn truncated(self) -> Self {
        Self {
            within_paper: self.within_paper.map(|v| v.max(0.0)),
            between_papers: self.between_papers.map(|v| v.max(0.0)),
            between_sessions: self.between_sessions.max(0.0),
        }
    }

    /// Intermediate precision: the standard deviation of one spot in a session not yet seen.
    ///
    /// # Formula
    /// ```text
    /// s_I = √(σ²_w + σ²_P + σ²_S),   negative parts as 0
    /// ```
    ///
    /// # Source
    /// ISO5725-3, 8.3 (intermediate precision from nested components)
    pub fn intermediate_sd(self) -> f64 {
        let all = self.truncated();
        let parts = [
            all.within_paper,
            all.between_papers,
            Some(all.between_sessions),
        ];
        parts.into_iter().flatten().sum::<f64>().sqrt()
    }
}

/// Mean squares of a nested layout, balanced or not.
///
/// # Shape and units
/// `sessions[i][j][k]` is spot `k` on paper `j` of session `i`; at least two sessions, none
/// without a paper, no paper without a spot. Squared unit of the values.
///
/// # Formula
/// ```text
/// ȳ_ij = Σ_k y_ijk / n_ij      ȳ_i = Σ_j ȳ_ij / p_i      ȳ = Σ_i ȳ_i / m
/// MS_sessions = Σ (ȳ_i - ȳ)² / (m - 1)             E = σ²_S + c1 σ²_P + c2 σ²_w
/// MS_papers   = ΣΣ (ȳ_ij - ȳ_i)² / Σ(p_i - 1)      E =             σ²_P + c3 σ²_w
/// MS_spots    = ΣΣΣ (y_ijk - ȳ_ij)² / Σ(n_ij - 1)  E =                       σ²_w
/// c1 = mean of 1/p_i   c2 = mean of Σ_j(1/n_ij)/p_i²   c3 = Σ_i(1-1/p_i)Σ_j(1/n_ij) / Σ(p_i-1)
/// ```
///
/// These are the unweighted sums of squares: every session and every paper counts the same. With a
/// balanced design they are the ordinary analysis of variance divided by the numbers of values
/// (`n·p` and `n`). Unbalanced, each mean square stays near a multiple of chi-square and
/// independent of the next, which the sequential sums of squares don't: one long session would
/// outvote the others, and the prediction interval would lose its coverage.
///
/// # Errors
/// [`VarianceError::TooFew`], [`VarianceError::Empty`], [`VarianceError::NotFinite`].
///
/// # Source
/// BurdickGraybill1992, 5.2 and 5.3 (unweighted sums of squares); ThomasHultquist1978
///
/// # Examples
/// ```
/// use dyebook_statistics::variance_components::nested;
/// let sessions = [
///     vec![vec![0.41, 0.42], vec![0.43, 0.43]],
///     vec![vec![0.45, 0.44], vec![0.44, 0.46]],
///     vec![vec![0.40, 0.41]],
/// ];
/// let table = nested(&sessions)?;
/// assert_eq!((table.sessions.df, table.papers.df, table.spots.df), (2.0, 2.0, 5.0));
/// # Ok::<(), dyebook_statistics::variance_components::VarianceError>(())
/// ```
#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 values")]
pub fn nested(sessions: &[Vec<Vec<f64>>]) -> Result<Nested, VarianceError> {
    check(sessions)?;
    let m = sessions.len() as f64;
    let (mut session_means, mut within, mut among) = (Vec::new(), Vec::new(), Vec::new());
    let (mut paper_count, mut spot_count) = (0, 0);
    let (mut c1, mut c2, mut c3) = (0.0, 0.0, 0.0);
    for papers in sessions {
        let p = papers.len() as f64;
        let means: Vec<f64> = papers.iter().map(|spots| mean(spots)).collect();
        let session_mean = mean(&means);
        let inverse: f64 = papers.iter().map(|spots| 1.0 / spots.len() as f64).sum();
        c1 += 1.0 / p / m;
        c2 += inverse / (p * p) / m;
        c3 += (1.0 - 1.0 / p) * inverse;
        for (spots, paper_mean) in papers.iter().zip(&means) {
            within.extend(spots.iter().map(|spot| (spot - paper_mean).powi(2)));
        }
        among.extend(
            means
                .iter()
                .map(|paper_mean| (paper_mean - session_mean).powi(2)),
        );
        session_means.push(session_mean);
        paper_count += papers.len();
        spot_count += papers.iter().map(Vec::len).sum::<usize>();
    }
    let centre = mean(&session_means);
    let between = session_means.iter().map(|value| (value - centre).powi(2));
    let papers = mean_square(among, (paper_count - sessions.len()) as f64);
    Ok(Nested {
        centre,
        session_count: sessions.len(),
        paper_count,
        spot_count,
        sessions: mean_square(between, m - 1.0),
        papers,
        spots: mean_square(within, (spot_count - paper_count) as f64),
        papers_in_sessions: c1,
        spots_in_sessions: c2,
        spots_in_papers: if papers.df > 0.0 { c3 / papers.df } else { 0.0 },
    })
}

/// Variance components of a nested layout, by equating mean squares with their expectations.
///
/// # Shape and units
/// The mean squares of [`nested`]. Squared unit of the values. Estimates may be negative; see
/// [`Components::truncated`].
///
/// # Formula
/// ```text
/// σ²_w = MS_spots    σ²_P = MS_papers - c3 σ²_w    σ²_S = MS_sessions - c1 σ²_P - c2 σ²_w
/// ```
///
/// This analysis-of-variance estimator is the default for references: it is unbiased, needs no
/// iteration, and its mean squares are what the prediction interval is made of, so that the three
/// printed SDs and the printed range tell the same story. [`super::nested_reml`] agrees with it on
/// balanced data with positive components.
///
/// # Source
/// BurdickGraybill1992, 5.2; SearleCasellaMcCulloch1992, 5.1
///
/// # Examples
/// ```
/// use dyebook_statistics::variance_components::{nested, nested_components};
/// let sessions = [vec![vec![1.0, 3.0]], vec![vec![5.0, 7.0]]];
/// let components = nested_components(&nested(&sessions)?);
/// assert_eq!(components.within_paper, Some(2.0));
/// assert_eq!(components.between_papers, None); // one paper a session
/// assert_eq!(components.between_sessions, 7.0);
/// # Ok::<(), dyebook_statistics::variance_components::VarianceError>(())
/// ```
pub fn nested_components(table: &Nested) -> Components {
    let within_paper = (table.spots.df > 0.0).then_some(table.spots.value);
    let within = within_paper.unwrap_or(0.0);
    let between_papers =
        (table.papers.df > 0.0).then_some(table.papers.value - table.spots_in_papers * within);
    let papers = table.papers_in_sessions * between_papers.unwrap_or(0.0);
    Components {
        within_paper,
        between_papers,
        between_sessions: table.sessions.value - papers - table.spots_in_sessions * within,
    }
}

#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 values")]
fn mean(values: &[f64]) -> f64 {
    let pivot = values[0];
    pivot + compensated_sum(values.iter().map(|value| value - pivot)) / values.len() as f64
}

fn mean_square(squares: impl IntoIterator<Item = f64>, df: f64) -> MeanSquare {
    let sum = compensated_sum(squares);
    MeanSquare {
        value: if df > 0.0 { sum / df } else { 0.0 },
        df,
    }
}

pub(super) fn check(sessions: &[Vec<Vec<f64>>]) -> Result<(), VarianceError> {
    let level = "session";
    if sessions.len() < 2 {
        return Err(VarianceError::TooFew {
            level,
            needed: 2,
            found: sessions.len(),
        });
    }
    for (index, papers) in sessions.iter().enumerate() {
        if papers.is_empty() || papers.iter().any(Vec::is_empty) {
            return Err(VarianceError::Empty { level, index });
        }
        if papers.iter().flatten().any(|value| !value.is_finite()) {
            return Err(VarianceError::NotFinite { level, index });
        }
    }
    Ok(())
}
