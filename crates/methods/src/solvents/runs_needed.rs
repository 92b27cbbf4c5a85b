//! Which dyes to run after a change, and how often.

use crate::rules::{Bump, Diff};
use dyebook_documents::{Method, Reference, Spread, counted};
use dyebook_statistics::distribution::student_t_quantile;
use dyebook_statistics::equivalence::{Design, papers_needed};
use serde::Serialize;
use std::collections::BTreeSet;

/// Which dyes to run, and how often.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunsNeeded {
    /// The dyes, each with the reason.
    pub dyes: Vec<DyeToRun>,
    /// Standard deviation of one spot in a new session that is assumed.
    pub spot_sd: f64,
    /// Where that is from.
    pub spot_sd_from: String,
    /// Half-width of the expected range that is wanted.
    pub wanted_half_width: f64,
    /// Sessions for that half-width; `None` where no number of sessions gives it.
    pub sessions: Option<u32>,
    /// Sessions, were each dye's spread estimated from its own runs alone.
    pub sessions_alone: Option<u32>,
    /// Half-width that these sessions give.
    pub half_width: Option<f64>,
    /// Papers in each session for two lanes of each dye.
    pub papers_per_session: u32,
    /// Papers in all.
    pub papers: Option<u32>,
    /// Papers of each version for an equivalence check, where Rf values are to stay comparable.
    pub equivalence_papers: Option<u32>,
    /// In sentences.
    pub sentences: Vec<String>,
}

/// A dye to run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DyeToRun {
    /// The dye.
    pub dye: String,
    /// Why.
    pub why: String,
}

/// Spread of a spot in a new session where no version states one (illustrative, no source).
const USUAL_SPOT_SD: f64 = 0.03;
/// Spread of papers where no version states one (illustrative, no source).
const USUAL_PAPER_SD: f64 = 0.02;
/// Lanes of each dye on a paper, so that the spread within a paper shows (common practice, no source).
const LANES_PER_DYE: usize = 2;
/// Evidence behind an approved reference where the method names none (common practice, no source).
const USUAL_PAPERS: u32 = 6;
const USUAL_SESSIONS: u32 = 3;
/// More sessions than a term has.
const MOST_SESSIONS: u32 = 40;
/// Margin of the equivalence check, Rf: less than half the smallest critical gap (common practice,
/// no source).
const EQUIVALENCE_LIMIT: f64 = 0.03;

/// Which dyes to run, and how often.
///
/// # Formula
/// ```text
/// half-width(m) = t(0.975, ν) · s · √(1 + 1/m)
/// ν = m − 1 alone; pooled: half of Σ(sessions − 1) over the dyes, as dyes share papers
/// ```
pub(super) fn runs_needed(from: &Method, to: &Method, diff: &Diff, wanted: f64) -> RunsNeeded {
    let dyes = dyes_to_run(from, to, diff);
    let (spot_sd, spot_sd_from) = usual_spread(from, to, Spread::intermediate, USUAL_SPOT_SD);
    let pooled_df = pooled_df(from);
    let enough = |df: &dyn Fn(f64) -> f64| {
        (2..=MOST_SESSIONS).find(|m| half_width(spot_sd, *m, df(f64::from(*m))) <= wanted)
    };
    let sessions = enough(&|m| pooled_df.max(m - 1.0));
    let lanes = to.layout.as_ref().and_then(|l| l.lanes).unwrap_or(5).max(1);
    let needed = u32::try_from(dyes.len() * LANES_PER_DYE).unwrap_or(u32::MAX);
    let papers_per_session = if dyes.is_empty() {
        0
    } else {
        needed.div_ceil(lanes).max(1)
    };
    let mut runs = RunsNeeded {
        sessions_alone: enough(&|m| m - 1.0),
        half_width: sessions.map(|m| half_width(spot_sd, m, pooled_df.max(f64::from(m) - 1.0))),
        papers: sessions.map(|m| m * papers_per_session),
        equivalence_papers: equivalence_papers(from, to, diff),
        dyes,
        spot_sd,
        spot_sd_from,
        wanted_half_width: wanted,
        sessions,
        papers_per_session,
        sentences: Vec::new(),
    };
    runs.sentences = sentences(&runs);
    runs
}

fn dyes_to_run(from: &Method, to: &Method, diff: &Diff) -> Vec<DyeToRun> {
    let minimum = to.minimum;
    let papers = minimum.map_or(USUAL_PAPERS, |m| m.papers);
    let sessions = minimum.map_or(USUAL_SESSIONS, |m| m.sessions);
    let names: BTreeSet<&str> = from
        .references
        .iter()
        .chain(&to.references)
        .map(|reference| reference.dye.as_str())
        .collect();
    let short = |reference: &Reference| {
        let count = reference.count;
        let has = |found: Option<u32>, wanted: u32| found.is_some_and(|n| n >= wanted);
        reference.provisional == Some(true)
            || !has(count.and_then(|c| c.papers), papers)
            || !has(count.and_then(|c| c.sessions), sessions)
    };
    let unchanged = |dye: &str| from.reference(dye) == to.reference(dye);
    let why = |dye: &str| {
        match to.reference(dye) {
        None => (diff.required == Bump::Major).then(|| {
            format!("no reference in {}; run it if it is still to be found", to.name())
        }),
        Some(_) if diff.required == Bump::Major && unchanged(dye) => Some(
            "its reference is copied from the old version, and Rf values of the two can't be compared"
                .to_owned(),
        ),
        Some(reference) => short(reference).then(|| {
            format!("its reference rests on less than {papers} papers in {sessions} sessions")
        }),
    }
    };
    names
        .into_iter()
        .filter_map(|dye| {
            Some(DyeToRun {
                dye: dye.to_owned(),
                why: why(dye)?,
            })
        })
        .collect()
}

/// Root mean square of what the old version states, else the new one, else a usual number.
fn usual_spread(
    from: &Method,
    to: &Method,
    of: impl Fn(&Spread) -> Option<f64>,
    usual: f64,
) -> (f64, String) {
    for method in [from, to] {
        let stated: Vec<f64> = method
            .references
            .iter()
            .filter_map(|reference| of(&reference.sd?))
            .filter(|sd| *sd > 0.0)
            .collect();
        if !stated.is_empty() {
            #[expect(clippy::cast_precision_loss, reason = "a set of dyes is small")]
            let mean = stated.iter().map(|sd| sd * sd).sum::<f64>() / stated.len() as f64;
            return (mean.sqrt(), format!("the dyes of {}", method.name()));
        }
    }
    (
        usual,
        "assumed: no version states standard deviations".to_owned(),
    )
}

fn pooled_df(method: &Method) -> f64 {
    let counts = method.references.iter().filter_map(|r| r.count?.sessions);
    counts
        .map(|sessions| f64::from(sessions.saturating_sub(1)))
        .sum::<f64>()
        / 2.0
}

/// 95 % of single spots in a new session.
const LEVEL: f64 = 0.975;

fn half_width(sd: f64, sessions: u32, df: f64) -> f64 {
    // The quantile exists for every df of 1 and more; without it no range is narrow enough.
    student_t_quantile(LEVEL, df.max(1.0)).map_or(f64::INFINITY, |t| {
        t * sd * (1.0 + 1.0 / f64::from(sessions)).sqrt()
    })
}

fn equivalence_papers(from: &Method, to: &Method, diff: &Diff) -> Option<u32> {
    if diff.required == Bump::Major || diff.changes.is_empty() {
        return None;
    }
    let of_papers = |sd: &Spread| Some(sd.within_paper?.hypot(sd.between_papers?));
    let (sd, _) = usual_spread(from, to, of_papers, USUAL_PAPER_SD);
    let papers = papers_needed(Design::Unpaired, sd, EQUIVALENCE_LIMIT, 0.0, 0.05, 0.8).ok()?;
    u32::try_from(papers).ok()
}

fn sentences(runs: &RunsNeeded) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(papers) = runs.equivalence_papers {
        all.push(format!(
            "to show that Rf values agree within {EQUIVALENCE_LIMIT}: {} under each version (90 % interval of the mean difference, 80 % chance to pass)",
            counted(papers, "paper")
        ));
    }
    if runs.dyes.is_empty() {
        all.push("every dye has enough papers and sessions behind it".to_owned());
        return all;
    }
    let spread = format!(
        "with a spread of {:.3} ({})",
        runs.spot_sd, runs.spot_sd_from
    );
    match (runs.sessions, runs.half_width, runs.papers) {
        (Some(sessions), Some(half), Some(papers)) => all.push(format!(
            "{spread}, expected ranges of ±{half:.3} take {} of {} ({} in all)",
            counted(sessions, "session"),
            counted(runs.papers_per_session, "paper"),
            counted(papers, "paper")
        )),
        _ => all.push(format!(
            "{spread}, no number of sessions gives expected ranges of ±{}: use bridging lanes, which take the paper's own shift out",
            runs.wanted_half_width
        )),
    }
    if let Some(alone) = runs
        .sessions_alone
        .filter(|alone| Some(*alone) != runs.sessions)
    {
        all.push(format!(
            "without pooling the spread over the dyes it takes {}",
            counted(alone, "session")
        ));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::half_width;

    #[test]
    fn half_widths_of_the_fixtures() {
        // Calculated at s = 0.03: 3 sessions alone 0.149, 6 alone 0.083; with 20 pooled degrees of
        // freedom 0.072 and 0.068.
        for (sessions, df, expected) in [
            (3, 2.0, 0.149),
            (6, 5.0, 0.083),
            (3, 20.0, 0.072),
            (6, 20.0, 0.068),
        ] {
            assert!(
                (half_width(0.03, sessions, df) - expected).abs() < 6e-4,
                "{sessions} {df}"
            );
        }
    }
}
