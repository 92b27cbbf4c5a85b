//! What would three more papers buy?

use super::estimate::{Estimate, LEVEL, SMALLEST_HALF_WIDTH};
use dyebook_statistics::variance_components::{
    Components, MeanSquare, Nested, future_spot, nested_components,
};
use serde::Serialize;

/// So many papers more are asked about.
const MORE: usize = 3;

/// The range that a larger design is expected to give.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlannedRange {
    /// The design in words.
    pub design: &'static str,
    /// Expected half-width.
    pub half_width: f64,
    /// Half-width now.
    pub now: f64,
}

/// The half-widths that three more papers would give, placed in three ways, if the dye goes on
/// scattering as it did.
pub fn more_papers(estimate: &Estimate) -> Vec<PlannedRange> {
    let papers: Vec<usize> = estimate
        .runs
        .sessions
        .iter()
        .map(|s| s.papers.len())
        .collect();
    let placed = |mut papers: Vec<usize>, new: &[usize], there: usize| {
        for at in 0..there {
            let count = papers.len();
            if let Some(session) = papers.get_mut(at % count) {
                *session += 1;
            }
        }
        papers.extend(new);
        papers
    };
    let designs = [
        (
            "3 papers more in the sessions there are",
            placed(papers.clone(), &[], MORE),
        ),
        (
            "3 papers more in 1 new session",
            placed(papers.clone(), &[MORE], 0),
        ),
        (
            "3 papers more, one in each of 3 new sessions",
            placed(papers.clone(), &[1; MORE], 0),
        ),
    ];
    let Some(now) = half_width(estimate, &papers) else {
        return Vec::new();
    };
    designs
        .into_iter()
        .filter_map(|(design, papers)| {
            // Both from the same components, so that only the design makes the difference.
            let ratio = half_width(estimate, &papers)? / now;
            Some(PlannedRange {
                design,
                half_width: (estimate.computed_half_width * ratio).max(SMALLEST_HALF_WIDTH),
                now: estimate.half_width(),
            })
        })
        .collect()
}

/// The half-width that mean squares at their expectation give with so many papers a session.
fn half_width(estimate: &Estimate, papers: &[usize]) -> Option<f64> {
    let components = nested_components(&estimate.table).truncated();
    let old = expected_table(components, &design_of(estimate), spots_per_paper(estimate));
    let new = expected_table(components, papers, spots_per_paper(estimate));
    // A pooled spread has more degrees of freedom than the design alone; new runs add theirs.
    let more = |used: MeanSquare, old: MeanSquare, new: MeanSquare| MeanSquare {
        value: new.value,
        df: used.df + new.df - old.df,
    };
    let used = estimate.table;
    let table = Nested {
        sessions: more(used.sessions, old.sessions, new.sessions),
        papers: more(used.papers, old.papers, new.papers),
        spots: more(used.spots, old.spots, new.spots),
        ..new
    };
    future_spot(&table, LEVEL)
        .ok()
        .map(|future| future.half_width)
}

fn design_of(estimate: &Estimate) -> Vec<usize> {
    estimate
        .runs
        .sessions
        .iter()
        .map(|s| s.papers.len())
        .collect()
}

#[expect(clippy::cast_precision_loss, reason = "few spots and papers")]
fn spots_per_paper(estimate: &Estimate) -> f64 {
    estimate.runs.spots().count() as f64 / estimate.runs.papers().count() as f64
}

/// Mean squares at their expectation, for the same number of spots on each paper.
#[expect(clippy::cast_precision_loss, reason = "few sessions, papers and spots")]
fn expected_table(components: Components, papers: &[usize], spots: f64) -> Nested {
    let sessions = papers.len() as f64;
    let all_papers: usize = papers.iter().sum();
    let c1 = papers.iter().map(|p| 1.0 / *p as f64).sum::<f64>() / sessions;
    let (c2, c3) = (c1 / spots, 1.0 / spots);
    let (within, between) = (
        components.within_paper.unwrap_or(0.0),
        components.between_papers.unwrap_or(0.0),
    );
    let square = |value: f64, df: f64| MeanSquare {
        value: if df > 0.0 { value } else { 0.0 },
        df,
    };
    let paper_df = all_papers as f64 - sessions;
    Nested {
        centre: 0.0,
        session_count: papers.len(),
        paper_count: all_papers,
        spot_count: 0,
        sessions: square(
            components.between_sessions + c1 * between + c2 * within,
            sessions - 1.0,
        ),
        papers: square(between + c3 * within, paper_df),
        spots: square(within, all_papers as f64 * (spots - 1.0)),
        papers_in_sessions: c1,
        spots_in_sessions: c2,
        spots_in_papers: if paper_df > 0.0 { c3 } else { 0.0 },
    }
}

#[cfg(test)]
mod tests {
    use super::more_papers;
    use crate::references::design::tests::runs;
    use crate::references::estimate::estimates;
    use crate::references::pooled::Pooling;

    /// With one spot in each of three sessions the factor is t(2)·√(1+1/3) = 4.97 and in each of six
    /// t(5)·√(1+1/6) = 2.78 (t-distribution, by hand): three more sessions bring ±0.263 to ±0.147.
    #[test]
    fn new_sessions_buy_more_than_new_papers() {
        let red = runs("a", &[&[&[0.89]], &[&[0.99]], &[&[0.97]]]);
        let found = estimates(vec![red], Pooling::None).unwrap().found.remove(0);
        let planned = more_papers(&found);
        let sessions = planned.last().unwrap();
        assert!((sessions.half_width - found.half_width() * 2.777 / 4.968).abs() < 1e-3);
        let one_session = &planned[1];
        assert!(sessions.half_width < one_session.half_width);
        assert!(one_session.half_width < found.half_width());
    }
}
