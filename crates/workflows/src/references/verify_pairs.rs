//! Old against new for one dye: which values are independent, and what their difference says.

use super::design::{DyeRuns, PaperRun, SessionRun};
use super::verify::Verdict;
use dyebook_documents::Spread;
use dyebook_statistics::equivalence::{
    Design, Equivalence, EquivalenceError, paired_equivalence, papers_needed, unpaired_equivalence,
};
use serde::Serialize;

/// Risk of calling a change harmless that isn't; it makes the interval a 90 % one.
const RISK: f64 = 0.05;
/// Probability wanted of coming to a decision, for the number of papers that is named.
const POWER: f64 = 0.8;
/// More papers than this nobody runs for one question.
const MOST: usize = 200;

/// What was compared for one dye.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compared {
    /// What counts as one value: `paper`, `session`, or `paper with both`.
    pub unit: &'static str,
    /// Values of the old side.
    pub old: usize,
    /// Values of the new side.
    pub new: usize,
    /// Mean of the old side.
    pub old_mean: f64,
    /// Mean of the new side.
    pub new_mean: f64,
    /// New less old.
    pub difference: f64,
    /// Half-width of the 90 % interval; `None` where there are too few values or nothing scatters.
    pub half_width: Option<f64>,
    /// Standard deviation the interval rests on.
    pub sd: Option<f64>,
    /// What limits the comparison, in a sentence.
    pub caveat: Option<String>,
    #[serde(skip)]
    design: Design,
    #[serde(skip)]
    outcome: Option<Equivalence>,
}

impl Compared {
    /// What the difference says.
    pub(crate) fn verdict(&self, delta: f64) -> Verdict {
        match self.outcome.map(|found| Equivalence {
            limit: delta,
            ..found
        }) {
            Some(found) if found.equivalent() => Verdict::Equivalent,
            Some(found) if found.different() => Verdict::Different,
            _ => Verdict::Undecided,
        }
    }
}

/// Papers of the one sort against papers of the other.
///
/// Papers of one session share what that session did. Where old and new ran in the same sessions
/// each session is one comparison; where they ran in other sessions, sessions are the values as soon
/// as both sides have two; else papers stand in, with a caveat.
pub(crate) fn compare_apart(old: &DyeRuns, new: &DyeRuns, delta: f64) -> Compared {
    let shared: Vec<(&SessionRun, &SessionRun)> = old
        .sessions
        .iter()
        .filter_map(|one| Some((one, new.sessions.iter().find(|n| n.session == one.session)?)))
        .collect();
    if shared.len() >= 2 {
        let old_means: Vec<f64> = shared.iter().map(|(old, _)| old.mean()).collect();
        let new_means: Vec<f64> = shared.iter().map(|(_, new)| new.mean()).collect();
        return paired("session with both", &old_means, &new_means, delta);
    }
    let means = |runs: &DyeRuns| {
        runs.sessions
            .iter()
            .map(SessionRun::mean)
            .collect::<Vec<f64>>()
    };
    let papers = |runs: &DyeRuns| runs.papers().map(PaperRun::mean).collect::<Vec<f64>>();
    if shared.is_empty() && old.sessions.len() >= 2 && new.sessions.len() >= 2 {
        return unpaired("session", &means(old), &means(new), delta);
    }
    let mut compared = unpaired("paper", &papers(old), &papers(new), delta);
    if shared.is_empty() {
        compared.caveat = Some(
            "old and new ran in different sessions, too few to count sessions, so the difference \
             also holds what sessions differ by; run both in one session to be sure"
                .to_owned(),
        );
    }
    compared
}

/// Both sorts on the same papers, told apart by their lanes.
pub(crate) fn compare_on_papers(runs: &DyeRuns, new_lanes: &[u32], delta: f64) -> Compared {
    let (mut old, mut new) = (Vec::new(), Vec::new());
    for paper in runs.papers() {
        let (of_new, of_old): (Vec<_>, Vec<_>) = paper
            .spots
            .iter()
            .partition(|spot| new_lanes.contains(&spot.place.lane));
        if !of_new.is_empty() && !of_old.is_empty() {
            new.push(mean(
                &of_new.iter().map(|spot| spot.rf).collect::<Vec<f64>>(),
            ));
            old.push(mean(
                &of_old.iter().map(|spot| spot.rf).collect::<Vec<f64>>(),
            ));
        }
    }
    paired("paper with both", &old, &new, delta)
}

fn paired(unit: &'static str, old: &[f64], new: &[f64], delta: f64) -> Compared {
    let differences: Vec<f64> = old.iter().zip(new).map(|(old, new)| new - old).collect();
    let outcome = paired_equivalence(&differences, delta, RISK);
    compared(unit, Design::Paired, (old, new), outcome)
}

fn unpaired(unit: &'static str, old: &[f64], new: &[f64], delta: f64) -> Compared {
    let outcome = unpaired_equivalence(old, new, delta, RISK);
    compared(unit, Design::Unpaired, (old, new), outcome)
}

fn compared(
    unit: &'static str,
    design: Design,
    (old, new): (&[f64], &[f64]),
    outcome: Result<Equivalence, EquivalenceError>,
) -> Compared {
    let caveat = match &outcome {
        Ok(_) => None,
        Err(EquivalenceError::Summary(_)) => Some("at least 2 of each are needed".to_owned()),
        Err(_) => Some("the values do not scatter at all, so nothing can be judged by".to_owned()),
    };
    let outcome = outcome.ok();
    Compared {
        unit,
        old: old.len(),
        new: new.len(),
        old_mean: mean(old),
        new_mean: mean(new),
        difference: mean(new) - mean(old),
        half_width: outcome.map(|found| found.half_width),
        sd: outcome.map(|found| found.sd),
        caveat,
        design,
        outcome,
    }
}

/// How many values of each would come to a decision, if the difference is what it seems and the
/// scatter goes on; with too few values the method's own scatter stands in.
pub(crate) fn needed(compared: &Compared, sd: Option<Spread>, delta: f64) -> Option<usize> {
    let of_method = sd.and_then(|sd| {
        let within = sd.within_paper.unwrap_or(0.0);
        let papers = within.hypot(sd.between_papers?);
        let one = match compared.design {
            Design::Paired => within * std::f64::consts::SQRT_2,
            Design::Unpaired if compared.unit == "session" => papers.hypot(sd.between_sessions?),
            Design::Unpaired => papers,
        };
        (one > 0.0).then_some(one)
    });
    let (sd, difference) = match compared.sd {
        Some(sd) => (sd, compared.difference),
        None => (of_method?, 0.0),
    };
    let found = papers_needed(compared.design, sd, delta, difference, RISK, POWER).ok()?;
    (found <= MOST).then_some(found)
}

fn mean(values: &[f64]) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "few papers")]
    let count = values.len() as f64;
    if values.is_empty() {
        0.0
    } else {
        values.iter().sum::<f64>() / count
    }
}

#[cfg(test)]
mod tests {
    use super::{Verdict, compare_apart, compare_on_papers, needed};
    use crate::references::design::tests::runs;
    use dyebook_documents::Spread;

    /// Papers whose SD is exactly 0.02 about their mean.
    const THREE: [&[f64]; 3] = [&[0.38], &[0.40], &[0.42]];

    /// Job-map fixture A14, computed from the formula (TOST from memory): with SD 0.02, three papers
    /// against three have a half-width of 0.0348 and can't decide for 0.03.
    #[test]
    fn three_papers_against_three_can_not_decide() {
        let one = runs("a", &[&THREE]);
        let found = compare_apart(&one, &one, 0.03);
        assert_eq!((found.unit, found.old, found.new), ("paper", 3, 3));
        assert!((found.half_width.unwrap() - 0.0348).abs() < 5e-5);
        assert_eq!(found.verdict(0.03), Verdict::Undecided);
        assert_eq!(found.verdict(0.036), Verdict::Equivalent);
        assert!(needed(&found, None, 0.03).unwrap() >= 6);
    }

    #[test]
    fn a_large_shift_is_different_and_one_paper_each_says_so() {
        let (old, new) = (
            runs("a", &[&[&[0.400], &[0.401], &[0.402]]]),
            runs("a", &[&[&[0.500], &[0.501], &[0.502]]]),
        );
        assert_eq!(
            compare_apart(&old, &new, 0.03).verdict(0.03),
            Verdict::Different
        );
        let one = runs("a", &[&[&[0.4]]]);
        let found = compare_apart(&one, &one, 0.03);
        assert_eq!(found.verdict(0.03), Verdict::Undecided);
        assert!(found.caveat.as_ref().unwrap().contains("at least 2"));
        let sd = Spread {
            within_paper: Some(0.0),
            between_papers: Some(0.02),
            between_sessions: Some(0.02),
        };
        assert!(needed(&found, Some(sd), 0.03).unwrap() >= 4);
    }

    #[test]
    fn sessions_are_the_values_where_there_are_two_of_each() {
        let old = runs("a", &[&[&[0.40], &[0.41]], &[&[0.42], &[0.43]]]);
        let mut new = old.clone();
        assert_eq!(compare_apart(&old, &new, 0.03).unit, "session with both");
        for (number, session) in new.sessions.iter_mut().enumerate() {
            session.session = format!("bench|later {number}");
        }
        let found = compare_apart(&old, &new, 0.03);
        assert_eq!((found.unit, found.old), ("session", 2));
    }

    #[test]
    fn lots_on_the_same_papers_are_compared_paper_by_paper() {
        // lanes 1 and 2 of each paper; lane 2 holds the new lot
        let both = runs(
            "a",
            &[&[&[0.40, 0.41], &[0.42, 0.44], &[0.38, 0.39], &[0.41, 0.41]]],
        );
        let found = compare_on_papers(&both, &[2], 0.03);
        assert_eq!((found.unit, found.old), ("paper with both", 4));
        assert!((found.difference - 0.01).abs() < 1e-12);
        // s of 0.01, 0.02, 0.01, 0.00 is 0.00816; t(0.95, 3) = 2.353: ± 0.0096, by hand
        assert!((found.half_width.unwrap() - 0.0096).abs() < 1e-4);
        assert_eq!(found.verdict(0.03), Verdict::Equivalent);
    }
}
