//! The assigned value and the expected range of one dye.

use super::design::DyeRuns;
use super::pooled::{PooledSpread, Pooling, pooled_spread, table};
use dyebook_documents::{Count, Range, Spread};
use dyebook_statistics::variance_components::{
    Components, Nested, VarianceError, future_spot, nested_components,
};

/// No range is narrower than this on each side: below it reading the ruler decides. A bench
/// estimate, common practice without a source.
pub const SMALLEST_HALF_WIDTH: f64 = 0.02;
/// Probability with which one spot of a new session falls into the expected range.
pub(crate) const LEVEL: f64 = 0.95;
/// Values in a method are kept with so many decimals: a hundredth of what a ruler resolves.
const KEPT_DECIMALS: f64 = 1e4;

/// What the runs say of one dye.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// The runs.
    pub runs: DyeRuns,
    /// Mean of the session means.
    pub assigned: f64,
    /// Standard uncertainty of `assigned`.
    pub u: f64,
    /// Expected range of one spot in a new session.
    pub expected: Range,
    /// Half-width of the range as worked out, before the floor.
    pub computed_half_width: f64,
    /// Effective degrees of freedom of the range; `None` where nothing scatters.
    pub df: Option<f64>,
    /// Standard deviations by level; `None` for a level that the runs can't tell.
    pub sd: Spread,
    /// Levels whose variance came out below 0 and was set to 0.
    pub set_to_zero: Vec<&'static str>,
    /// The dyes whose spread was pooled, where this dye's own was not used.
    pub pooled_over: Option<Vec<String>>,
    /// Effective degrees of freedom of the sessions' spread that was used.
    pub session_df: f64,
    /// The mean squares that were used.
    pub(crate) table: Nested,
}

impl Estimate {
    /// Half-width that was used.
    pub fn half_width(&self) -> f64 {
        self.computed_half_width.max(SMALLEST_HALF_WIDTH)
    }

    /// Whether the floor decided.
    pub fn at_floor(&self) -> bool {
        self.computed_half_width < SMALLEST_HALF_WIDTH
    }

    /// Whether the range was cut at 0 or 1, where no spot can lie beyond.
    pub fn is_cut(&self) -> bool {
        self.assigned - self.half_width() < 0.0 || self.assigned + self.half_width() > 1.0
    }

    /// Numbers at each level.
    pub fn count(&self) -> Count {
        let number = |count: usize| u32::try_from(count).ok();
        Count {
            sessions: number(self.runs.sessions.len()),
            papers: number(self.runs.papers().count()),
            spots: number(self.runs.spots().count()),
        }
    }
}

/// What can't be estimated, and why.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NotEstimated {
    pub(crate) dye: String,
    pub(crate) why: String,
}

/// All dyes of one set of runs.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Estimates {
    pub(crate) found: Vec<Estimate>,
    pub(crate) not_found: Vec<NotEstimated>,
    pub(crate) pooled: Option<PooledSpread>,
}

/// Estimates every dye of one set of runs.
pub(crate) fn estimates(runs: Vec<DyeRuns>, pooling: Pooling) -> Result<Estimates, VarianceError> {
    let pooled = pooled_spread(&runs)?;
    let mut out = Estimates::default();
    for dye in runs {
        let sessions = dye.sessions.len();
        let spread = pooled.as_ref().filter(|pooled| {
            pooling.wanted_for(sessions) && (pooled.dyes.len() > 1 || sessions == 1)
        });
        if sessions < 2 && spread.is_none() {
            out.not_found.push(NotEstimated {
                why: "it was run in one session only, which says nothing of the spread between \
                      sessions, and there is no pooled spread to take its place"
                    .to_owned(),
                dye: dye.dye,
            });
        } else {
            out.found.push(estimate(dye, spread)?);
        }
    }
    out.pooled = pooled;
    Ok(out)
}

fn estimate(runs: DyeRuns, spread: Option<&PooledSpread>) -> Result<Estimate, VarianceError> {
    let own = table(&runs)?;
    let used = spread.map_or(own, |spread| spread.in_place_of(&own));
    let components = nested_components(&used);
    // Where nothing scatters at all the range is the floor.
    let future = future_spot(&used, LEVEL).ok();
    let computed_half_width = future.map_or(0.0, |future| future.half_width);
    let half_width = computed_half_width.max(SMALLEST_HALF_WIDTH);
    #[expect(clippy::cast_precision_loss, reason = "few sessions")]
    let sessions = used.session_count as f64;
    Ok(Estimate {
        assigned: own.centre,
        u: (used.sessions.value / sessions).sqrt(),
        expected: Range {
            low: kept(own.centre - half_width).max(0.0),
            high: kept(own.centre + half_width).min(1.0),
        },
        computed_half_width,
        df: future.map(|future| future.df),
        sd: spread_of(components),
        set_to_zero: below_zero(components),
        pooled_over: spread.map(|spread| spread.dyes.clone()),
        session_df: used.sessions.df,
        table: used,
        runs,
    })
}

/// A value as it is kept in a method.
pub(crate) fn kept(value: f64) -> f64 {
    (value * KEPT_DECIMALS).round() / KEPT_DECIMALS
}

fn spread_of(components: Components) -> Spread {
    let all = components.truncated();
    let sd = |variance: f64| kept(variance.sqrt());
    Spread {
        within_paper: all.within_paper.map(sd),
        between_papers: all.between_papers.map(sd),
        between_sessions: Some(sd(all.between_sessions)),
    }
}

fn below_zero(components: Components) -> Vec<&'static str> {
    let between_papers = components
        .between_papers
        .is_some_and(|variance| variance < 0.0);
    [
        (between_papers, "between papers"),
        (components.between_sessions < 0.0, "between sessions"),
    ]
    .into_iter()
    .filter_map(|(below, level)| below.then_some(level))
    .collect()
}

#[cfg(test)]
mod tests {
    use super::{Pooling, estimates};
    use crate::references::design::tests::runs;

    #[test]
    fn runs_that_do_not_scatter_get_the_floor() {
        let still = runs("a", &[&[&[0.5]], &[&[0.5]], &[&[0.5]]]);
        let found = estimates(vec![still], Pooling::Few)
            .unwrap()
            .found
            .remove(0);
        assert!(found.at_floor() && found.df.is_none());
        assert_eq!((found.expected.low, found.expected.high), (0.48, 0.52));
    }

    #[test]
    fn a_range_ends_where_paper_ends() {
        let low = runs("a", &[&[&[0.01]], &[&[0.03]], &[&[0.05]]]);
        let found = estimates(vec![low], Pooling::None).unwrap().found.remove(0);
        assert!(found.is_cut() && found.expected.low.abs() < 1e-12);
    }

    #[test]
    fn one_session_is_estimated_with_the_spread_of_others_or_not_at_all() {
        let one = runs("a", &[&[&[0.40]]]);
        let several = runs("b", &[&[&[0.60]], &[&[0.64]], &[&[0.58]]]);
        let alone = estimates(vec![one.clone()], Pooling::Few).unwrap();
        assert!(alone.found.is_empty() && alone.not_found[0].why.contains("one session"));
        let both = estimates(vec![one, several], Pooling::Few).unwrap();
        let pooled = &both.found[0];
        assert_eq!(pooled.pooled_over.as_deref(), Some(&["b".to_owned()][..]));
        // SD 0.0306 about a centre of one session: t(2) · 0.0306 · √2 = 0.186, by hand
        assert!(
            (pooled.half_width() - 0.186).abs() < 1e-3,
            "{}",
            pooled.half_width()
        );
        // the other dye is the only one of several sessions: its own spread, not called pooled
        assert!(both.found[1].pooled_over.is_none());
    }
}
