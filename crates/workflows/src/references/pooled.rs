//! The spread that several dyes of one set of runs share, for dyes with few sessions.

use super::design::DyeRuns;
use dyebook_statistics::variance_components::{
    MeanSquare, Nested, VarianceError, nested, pool, squared_correlation, with_pooled,
};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Whose spread stands behind a range.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Pooling {
    /// A dye with fewer than [`Pooling::ENOUGH_SESSIONS`] sessions takes the pooled spread.
    #[default]
    Few,
    /// Every dye takes the pooled spread.
    All,
    /// Every dye stands alone.
    None,
}

impl Pooling {
    /// From so many sessions on a dye stands alone: with 5 degrees of freedom the factor of the
    /// range is 2.8, with 2 it is 5.0 (t-distribution; where to draw the line is our own choice).
    pub const ENOUGH_SESSIONS: usize = 6;

    pub(crate) fn wanted_for(self, sessions: usize) -> bool {
        match self {
            Self::Few => sessions < Self::ENOUGH_SESSIONS,
            Self::All => true,
            Self::None => false,
        }
    }
}

/// The pooled spread with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PooledSpread {
    /// The dyes.
    pub(crate) dyes: Vec<String>,
    /// Squared correlation between dyes of sessions and of papers.
    pub(crate) shared: [f64; 2],
    /// A table with the pooled mean squares and the design they are of.
    table: Nested,
}

impl PooledSpread {
    /// One dye's table with the pooled spread in the place of its own. The shares of the levels are
    /// the pooled ones too: the mean squares are of that design.
    pub(crate) fn in_place_of(&self, own: &Nested) -> Nested {
        Nested {
            centre: own.centre,
            session_count: own.session_count,
            paper_count: own.paper_count,
            spot_count: own.spot_count,
            ..self.table
        }
    }
}

/// Mean squares of a dye's runs; those of one session know nothing of the spread between sessions.
pub(crate) fn table(runs: &DyeRuns) -> Result<Nested, VarianceError> {
    let mut values = runs.values();
    if values.len() != 1 {
        return nested(&values);
    }
    // The session beside its own copy: the levels below it come out with twice their degrees of
    // freedom, and the level of the sessions says nothing.
    values.push(values[0].clone());
    let twice = nested(&values)?;
    let half = |square: MeanSquare| MeanSquare {
        df: square.df / 2.0,
        ..square
    };
    Ok(Nested {
        session_count: 1,
        paper_count: twice.paper_count / 2,
        spot_count: twice.spot_count / 2,
        sessions: MeanSquare {
            value: 0.0,
            df: 0.0,
        },
        papers: half(twice.papers),
        spots: half(twice.spots),
        ..twice
    })
}

/// Pools the spread of dyes that were run in at least two sessions; `None` where there are none.
pub(crate) fn pooled_spread(runs: &[DyeRuns]) -> Result<Option<PooledSpread>, VarianceError> {
    let several: Vec<&DyeRuns> = runs.iter().filter(|runs| runs.sessions.len() > 1).collect();
    if several.is_empty() {
        return Ok(None);
    }
    let tables: Vec<Nested> = several
        .iter()
        .map(|runs| table(runs))
        .collect::<Result<_, _>>()?;
    let shared = [shared_sessions(&several), shared_papers(&several)];
    // Spots are lanes of their own: what moves one lane does not move the next.
    let pooled = pool(&tables, [shared[0], shared[1], 0.0])?;
    let weighted = |of: fn(&Nested) -> f64| {
        let total: f64 = tables.iter().map(|table| table.sessions.df).sum();
        tables
            .iter()
            .map(|table| table.sessions.df * of(table))
            .sum::<f64>()
            / total
    };
    let first = tables[0];
    let table = Nested {
        papers_in_sessions: weighted(|table| table.papers_in_sessions),
        spots_in_sessions: weighted(|table| table.spots_in_sessions),
        spots_in_papers: weighted(|table| table.spots_in_papers),
        ..with_pooled(&first, &pooled)
    };
    Ok(Some(PooledSpread {
        dyes: several.iter().map(|runs| runs.dye.clone()).collect(),
        shared,
        table,
    }))
}

/// How alike the dyes move from session to session, over the sessions that all of them share; where
/// too few are shared to tell, fully alike, which claims the least.
fn shared_sessions(runs: &[&DyeRuns]) -> f64 {
    let mut common: Option<BTreeSet<&str>> = None;
    for dye in runs {
        let own: BTreeSet<&str> = dye.sessions.iter().map(|s| s.session.as_str()).collect();
        common = Some(match common {
            Some(common) => common.intersection(&own).copied().collect(),
            None => own,
        });
    }
    let common = common.unwrap_or_default();
    let deviations: Vec<Vec<f64>> = runs
        .iter()
        .map(|dye| {
            let means = dye
                .sessions
                .iter()
                .filter(|s| common.contains(s.session.as_str()));
            from_their_mean(
                &means
                    .map(super::design::SessionRun::mean)
                    .collect::<Vec<f64>>(),
            )
        })
        .collect();
    alike(&deviations, common.len().saturating_sub(1))
}

/// How alike the dyes move from paper to paper, as a mean over all pairs of dyes: pairs that share
/// no papers are independent.
fn shared_papers(runs: &[&DyeRuns]) -> f64 {
    type Papers<'a> = Vec<(&'a str, &'a str)>;
    let mut groups: BTreeMap<Papers<'_>, Vec<&DyeRuns>> = BTreeMap::new();
    for &dye in runs {
        let papers = dye
            .papers()
            .map(|p| (p.sheet.as_str(), p.paper.as_str()))
            .collect();
        groups.entry(papers).or_default().push(dye);
    }
    let (mut sum, mut pairs) = (0.0, 0.0);
    for group in groups.values().filter(|group| group.len() > 1) {
        let deviations: Vec<Vec<f64>> = group.iter().map(|dye| paper_deviations(dye)).collect();
        let papers = group[0].papers().count();
        let here = pairs_of(group.len());
        sum += here * alike(&deviations, papers - group[0].sessions.len());
        pairs += here;
    }
    // Dyes with other papers may still share some; the share of those is not worked out.
    let all = pairs_of(runs.len());
    if all > 0.0 && pairs > 0.0 {
        sum / all
    } else {
        0.0
    }
}

fn paper_deviations(dye: &DyeRuns) -> Vec<f64> {
    dye.sessions
        .iter()
        .flat_map(|session| {
            let means: Vec<f64> = session
                .papers
                .iter()
                .map(super::design::PaperRun::mean)
                .collect();
            from_their_mean(&means)
        })
        .collect()
}

fn from_their_mean(values: &[f64]) -> Vec<f64> {
    #[expect(clippy::cast_precision_loss, reason = "few sessions and papers")]
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    values.iter().map(|value| value - mean).collect()
}

fn alike(deviations: &[Vec<f64>], df: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "few sessions and papers")]
    let df = df as f64;
    squared_correlation(deviations, df).unwrap_or(1.0)
}

#[expect(clippy::cast_precision_loss, reason = "few dyes")]
fn pairs_of(dyes: usize) -> f64 {
    (dyes * dyes.saturating_sub(1)) as f64 / 2.0
}

#[cfg(test)]
mod tests {
    use super::{pooled_spread, table};
    use crate::references::design::tests::runs;
    use dyebook_statistics::variance_components::future_spot;

    /// Red and blue of three stations, one spot each: class results of S46 in the list of sources of
    /// the published student data (means 0.950 and 0.943, SD 0.053 and 0.012).
    #[test]
    fn a_dye_of_three_sessions_gains_by_pooling() {
        let red = runs("allura-red-ac", &[&[&[0.89]], &[&[0.99]], &[&[0.97]]]);
        let blue = runs("brilliant-blue-fcf", &[&[&[0.95]], &[&[0.93]], &[&[0.95]]]);
        let alone = future_spot(&table(&red).unwrap(), 0.95).unwrap();
        assert!((alone.half_width - 0.263).abs() < 1e-3);
        let pooled = pooled_spread(&[red.clone(), blue]).unwrap().unwrap();
        let with = future_spot(&pooled.in_place_of(&table(&red).unwrap()), 0.95).unwrap();
        assert!(with.df > alone.df && with.half_width < alone.half_width);
        assert!((with.centre - 0.95).abs() < 1e-12);
    }

    /// Two dyes that move together know no more of the sessions than one (Isserlis: the covariance of
    /// two mean squares is that of fully correlated deviations).
    #[test]
    fn dyes_that_move_together_add_nothing() {
        let one = runs("a", &[&[&[0.40]], &[&[0.44]], &[&[0.36]], &[&[0.42]]]);
        let other = runs("b", &[&[&[0.60]], &[&[0.64]], &[&[0.56]], &[&[0.62]]]);
        let own = table(&one).unwrap();
        let pooled = pooled_spread(&[one, other]).unwrap().unwrap();
        assert!((pooled.shared[0] - 1.0).abs() < 1e-9);
        assert!((pooled.in_place_of(&own).sessions.df - 3.0).abs() < 1e-9);
    }

    #[test]
    fn one_session_says_nothing_of_sessions_and_keeps_its_lower_levels() {
        let one = table(&runs("a", &[&[&[0.40, 0.42], &[0.44, 0.44]]])).unwrap();
        assert_eq!(
            (one.session_count, one.paper_count, one.spot_count),
            (1, 2, 4)
        );
        assert!(one.sessions.df.abs() < 1e-12);
        assert!((one.papers.df - 1.0).abs() < 1e-12 && (one.spots.df - 2.0).abs() < 1e-12);
        // paper means 0.41 and 0.44: (0.015² + 0.015²)/1; spots (2 · 0.01²)/2, by hand
        assert!((one.papers.value - 0.000_45).abs() < 1e-12);
        assert!((one.spots.value - 0.000_1).abs() < 1e-12);
        assert!(pooled_spread(&[runs("a", &[&[&[0.4]]])]).unwrap().is_none());
    }
}
