//! Runs that stand apart. They are shown to a person and never left out by themselves.

use super::design::{DyeRuns, session_words};
use dyebook_statistics::outliers::{Side, cochran_test, grubbs_test};
use dyebook_statistics::summary::{median, robust_sd};
use serde::Serialize;

/// Risk of pointing at a good value: the level at which ISO 5725-2 calls a value an outlier.
const RISK: f64 = 0.01;
/// Robust z-score beyond which a spot is shown (Iglewicz and Hoaglin, as in the NIST handbook,
/// 1.3.5.17: 3.5).
const ROBUST_LIMIT: f64 = 3.5;
/// Of fewer spots the median deviation is too uncertain to point at one of them (our own choice).
const ENOUGH_SPOTS: usize = 8;

/// Something that stands apart.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Flag {
    /// Dye identifier.
    pub dye: String,
    /// The test.
    pub test: &'static str,
    /// What stands apart, in words.
    pub what: String,
    /// The test's value.
    pub value: f64,
    /// What the value stays below by chance.
    pub limit: f64,
    /// How to leave the spots out, for a person with a reason: `SHEET:PAPER:LANE:SPOT`.
    pub spots: Vec<String>,
}

/// Everything that stands apart in the runs of one dye.
pub(crate) fn flags(runs: &DyeRuns) -> Vec<Flag> {
    let mut flags = Vec::new();
    flags.extend(session_apart(runs));
    flags.extend(paper_apart(runs));
    flags.extend(spots_apart(runs));
    flags
}

fn session_apart(runs: &DyeRuns) -> Option<Flag> {
    let means: Vec<f64> = runs
        .sessions
        .iter()
        .map(super::design::SessionRun::mean)
        .collect();
    let test = grubbs_test(&means, RISK, Side::Both).ok()?;
    let session = runs.sessions.get(test.index)?;
    test.stands_apart().then(|| Flag {
        dye: runs.dye.clone(),
        test: "Grubbs, session means",
        what: format!(
            "the mean of session {}, {:.3}, stands apart from the other session means",
            session_words(&session.session),
            session.mean()
        ),
        value: test.statistic,
        limit: test.critical,
        spots: session
            .papers
            .iter()
            .flat_map(|paper| &paper.spots)
            .map(address)
            .collect(),
    })
}

fn paper_apart(runs: &DyeRuns) -> Option<Flag> {
    let groups: Vec<Vec<f64>> = runs.values().concat();
    let test = cochran_test(&groups, RISK).ok()?;
    let paper = runs.papers().nth(test.index)?;
    test.stands_apart().then(|| {
        let rf: Vec<String> = paper
            .spots
            .iter()
            .map(|spot| format!("{:.3}", spot.rf))
            .collect();
        Flag {
            dye: runs.dye.clone(),
            test: "Cochran, spots of one paper",
            what: format!(
                "the spots of paper {} of sheet {} ({}) differ more than those of the other papers",
                paper.paper,
                paper.sheet,
                rf.join(", ")
            ),
            value: test.statistic,
            limit: test.critical,
            spots: paper.spots.iter().map(address).collect(),
        }
    })
}

fn spots_apart(runs: &DyeRuns) -> Vec<Flag> {
    let values: Vec<f64> = runs.spots().map(|spot| spot.rf).collect();
    let (Ok(centre), Ok(spread)) = (median(&values), robust_sd(&values)) else {
        return Vec::new();
    };
    if spread <= 0.0 || values.len() < ENOUGH_SPOTS {
        return Vec::new();
    }
    runs.spots()
        .filter_map(|spot| {
            let score = (spot.rf - centre).abs() / spread;
            (score > ROBUST_LIMIT).then(|| Flag {
                dye: runs.dye.clone(),
                test: "distance from the median in robust SDs",
                what: format!(
                    "{}, Rf {:.3}, stands apart from the median {centre:.3}",
                    spot.place, spot.rf
                ),
                value: score,
                limit: ROBUST_LIMIT,
                spots: vec![address(spot)],
            })
        })
        .collect()
}

fn address(spot: &super::standards::StandardSpot) -> String {
    let place = &spot.place;
    format!(
        "{}:{}:{}:{}",
        place.sheet, place.paper, place.lane, place.spot
    )
}

#[cfg(test)]
mod tests {
    use super::flags;
    use crate::references::design::tests::runs;

    #[test]
    fn a_quiet_set_of_runs_has_no_flag() {
        let quiet: [&[&[f64]]; 4] = [
            &[&[0.40, 0.41], &[0.42, 0.41]],
            &[&[0.39, 0.40], &[0.41, 0.40]],
            &[&[0.41, 0.42], &[0.40, 0.41]],
            &[&[0.42, 0.41], &[0.43, 0.42]],
        ];
        assert!(flags(&runs("a", &quiet)).is_empty());
    }

    /// NIST handbook 1.3.5.17.1: uranium isotope data, 245.57 stands apart at any usual level.
    #[test]
    fn a_session_far_away_is_named_with_its_spots() {
        let far: Vec<f64> = [
            199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57,
        ]
        .iter()
        .map(|value| value / 1000.0)
        .collect();
        let papers: Vec<[&[f64]; 1]> = far.iter().map(|rf| [std::slice::from_ref(rf)]).collect();
        let sessions: Vec<&[&[f64]]> = papers.iter().map(|paper| &paper[..]).collect();
        let found = flags(&runs("a", &sessions));
        let session = &found[0];
        assert_eq!(session.test, "Grubbs, session means");
        assert!(session.what.contains("day 7"), "{}", session.what);
        assert!((session.value - 2.4688).abs() < 1e-3 && session.value > session.limit);
        assert_eq!(session.spots, ["sheet-7:P0:1:1"]);
    }

    #[test]
    fn two_spots_of_one_paper_that_disagree_are_named() {
        let apart: [&[&[f64]]; 4] = [
            &[&[0.400, 0.401], &[0.402, 0.401]],
            &[&[0.401, 0.400], &[0.40, 0.46]],
            &[&[0.401, 0.402], &[0.400, 0.401]],
            &[&[0.402, 0.401], &[0.403, 0.402]],
        ];
        let found = flags(&runs("a", &apart));
        assert!(
            found
                .iter()
                .any(|flag| flag.test.starts_with("Cochran") && flag.spots.len() == 2)
        );
        assert!(
            found.iter().any(|flag| flag.spots == ["sheet-1:P1:2:1"]),
            "{found:?}"
        );
    }
}
