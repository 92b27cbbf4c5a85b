//! Restricted maximum likelihood for the nested layout.

use super::nested::{check, nested, nested_components};
use super::{Components, VarianceError};
use crate::numerics::minimise;

/// What the likelihood needs to know of one paper.
struct Paper {
    mean: f64,
    count: f64,
}

/// The data reduced to sufficient statistics.
struct Data {
    sessions: Vec<Vec<Paper>>,
    within_squares: f64,
    within_df: f64,
}

/// Variance components of a nested layout by restricted maximum likelihood.
///
/// # Shape and units
/// As for [`super::nested`]: `sessions[i][j][k]`; at least one session must hold two papers and
/// one paper two spots. Squared unit of the values; never negative.
///
/// # Formula
/// ```text
/// -2 ln L = ln|V| + ln|1'V⁻¹1| + (y - 1μ)'V⁻¹(y - 1μ),   V = σ²_w I + σ²_P Z_P Z_P' + σ²_S Z_S Z_S'
/// ```
///
/// `V` is a tree, so determinant and quadratic form come from paper means and session means in
/// closed form; the minimum is found by a simplex search on standard deviations. Balanced data
/// with positive analysis-of-variance estimates give those estimates. To about six digits.
///
/// # Errors
/// [`VarianceError::TooFew`], [`VarianceError::Empty`], [`VarianceError::NotFinite`],
/// [`VarianceError::NothingRepeated`].
///
/// # Source
/// PattersonThompson1971; SearleCasellaMcCulloch1992, 6.6
///
/// # Examples
/// ```
/// use dyebook_statistics::variance_components::nested_reml;
/// let sessions = [
///     vec![vec![1.0, 2.0], vec![4.0, 5.0]],
///     vec![vec![9.0, 8.0], vec![6.0, 7.0]],
///     vec![vec![4.0, 4.0], vec![3.0, 1.0]],
/// ];
/// let components = nested_reml(&sessions)?;
/// assert!(components.between_sessions > components.within_paper.unwrap_or(0.0));
/// # Ok::<(), dyebook_statistics::variance_components::VarianceError>(())
/// ```
pub fn nested_reml(sessions: &[Vec<Vec<f64>>]) -> Result<Components, VarianceError> {
    check(sessions)?;
    if sessions.iter().all(|papers| papers.len() < 2) {
        return Err(VarianceError::NothingRepeated { level: "session" });
    }
    if sessions.iter().flatten().all(|spots| spots.len() < 2) {
        return Err(VarianceError::NothingRepeated { level: "paper" });
    }
    let start = nested_components(&nested(sessions)?);
    let data = reduce(sessions);
    let scale = (data.within_squares / data.within_df)
        .max(start.between_sessions.abs())
        .max(start.between_papers.unwrap_or(0.0).abs())
        .sqrt();
    if scale == 0.0 {
        return Ok(start.truncated());
    }
    let parts = [
        start.within_paper.unwrap_or(0.0),
        start.between_papers.unwrap_or(0.0),
    ];
    let deviations = [parts[0], parts[1], start.between_sessions]
        .map(|variance| (variance.max(0.0).sqrt() / scale).max(0.05));
    let found = minimise(
        |sd| deviance(&data, sd.map(|s| s * scale)),
        deviations,
        [0.2; 3],
    );
    let variance = found.map(|sd| (sd * scale).powi(2));
    Ok(Components {
        within_paper: Some(variance[0]),
        between_papers: Some(variance[1]),
        between_sessions: variance[2],
    })
}

#[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 values")]
fn reduce(sessions: &[Vec<Vec<f64>>]) -> Data {
    let mut data = Data {
        sessions: Vec::new(),
        within_squares: 0.0,
        within_df: 0.0,
    };
    for papers in sessions {
        let mut reduced = Vec::new();
        for spots in papers {
            let count = spots.len() as f64;
            let mean = spots.iter().sum::<f64>() / count;
            data.within_squares += spots.iter().map(|spot| (spot - mean).powi(2)).sum::<f64>();
            data.within_df += count - 1.0;
            reduced.push(Paper { mean, count });
        }
        data.sessions.push(reduced);
    }
    data
}

/// -2 ln of the restricted likelihood, up to a constant, at the three standard deviations.
fn deviance(data: &Data, sd: [f64; 3]) -> f64 {
    // a within-paper variance of exactly 0 has no likelihood; the floor only keeps the search finite
    let [within, papers, between] = sd.map(|s| s * s);
    let within = within.max(1e-300);
    let mut deviance = data.within_df * within.ln() + data.within_squares / within;
    let (mut weights, mut weighted, mut squares) = (0.0, 0.0, 0.0);
    for session in &data.sessions {
        let (mut inner, mut sum) = (0.0, 0.0);
        for paper in session {
            let variance = papers + within / paper.count;
            deviance += variance.ln();
            inner += 1.0 / variance;
            sum += paper.mean / variance;
        }
        let mean = sum / inner;
        for paper in session {
            deviance += (paper.mean - mean).powi(2) / (papers + within / paper.count);
        }
        let variance = between + 1.0 / inner;
        deviance += inner.ln() + variance.ln();
        weights += 1.0 / variance;
        weighted += mean / variance;
        squares += mean * mean / variance;
    }
    deviance + weights.ln() + (squares - weighted * weighted / weights)
}
