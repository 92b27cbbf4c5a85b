//! How often a strategy is right, and whether its probabilities can be believed.

use crate::strategy_compare_cases::{AskedLane, SpotTruth};
use compact_str::CompactString;
use dyebook_documents::{Candidate, Decision, SpotIdentity};
use dyebook_statistics::calibration::{
    ReliabilityBin, expected_calibration_error, log_loss, many_classes, reliability_table,
    wilson_coverage_limits,
};
use serde::Serialize;
use std::collections::BTreeSet;

/// Rows of the calibration table.
const BINS: usize = 10;
/// In the log loss a smaller probability counts as this much: a strategy that leaves out what it
/// thinks impossible would else be infinitely wrong at its first mistake.
pub(crate) const LEAST_PROBABILITY: f64 = 1e-4;
/// Level of the intervals of shares.
const LEVEL: f64 = 0.95;

/// How often a strategy is right where the truth is known.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Rates {
    /// Spots whose truth is known.
    pub judged: usize,
    /// Rightly named, or rightly said to be in no reference set.
    pub right: usize,
    /// Named what is not there.
    pub wrong: usize,
    /// Left open between several.
    pub undecided: usize,
    /// Of those, with the truth among them.
    pub truth_among: usize,
    /// Said to be in no reference set, and are.
    pub false_not_in_set: usize,
    /// Not judged at all.
    pub not_evaluable: usize,
    /// Dyes of the set that the lanes hold.
    pub dyes: usize,
    /// Of those, named in no spot of their lane.
    pub missed: usize,
    /// How believable its probabilities are, where it gives any.
    pub probabilities: Option<Scores>,
}

/// How believable probabilities are.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Scores {
    /// Spots scored.
    pub spots: usize,
    /// Mean squared difference from what is there, over all candidates; from 0 to 2.
    pub brier: f64,
    /// Mean surprise at what is there, in natural logarithms.
    pub log_loss: f64,
    /// Mean gap between the likeliest candidate's probability and how often it is right.
    pub calibration_error: f64,
    /// The likeliest candidate's probability against how often it is right, bins with spots only.
    pub calibration: Vec<CalibrationRow>,
}

/// Answers whose likeliest candidate has a probability in one bin.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CalibrationRow {
    /// The bin.
    pub low: f64,
    /// The bin.
    pub high: f64,
    /// How many.
    pub count: usize,
    /// Mean of what was stated.
    pub stated: f64,
    /// Share that was right.
    pub right: f64,
    /// Interval of that share (95 %).
    pub right_low: f64,
    /// Interval of that share (95 %).
    pub right_high: f64,
}

/// What came of a verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outcome {
    Right,
    Wrong,
    Undecided { truth_among: bool },
    FalselyOutside,
    NotEvaluable,
}

pub(crate) fn outcome(spot: &SpotIdentity, truth: &SpotTruth) -> Outcome {
    match spot.decision {
        Decision::Identified if spot.candidates.first().is_some_and(|c| fits(c, truth)) => {
            Outcome::Right
        }
        Decision::Identified => Outcome::Wrong,
        Decision::Indistinguishable => Outcome::Undecided {
            truth_among: spot.candidates.iter().any(|one| fits(one, truth)),
        },
        Decision::NotInReferenceSet if truth.outside => Outcome::Right,
        Decision::NotInReferenceSet => Outcome::FalselyOutside,
        Decision::NotEvaluable | Decision::NoValidReference => Outcome::NotEvaluable,
    }
}

/// Whether all that a candidate names is there.
fn fits(candidate: &Candidate, truth: &SpotTruth) -> bool {
    !candidate.dyes.is_empty()
        && candidate
            .dyes
            .iter()
            .all(|dye| truth.dyes.iter().any(|there| there == dye))
}

/// The rates of one strategy: its answers lane by lane beside what was asked.
pub(crate) fn rates<'a>(
    answered: impl Iterator<Item = (&'a AskedLane, &'a [SpotIdentity])>,
    in_set: &dyn Fn(&AskedLane, &str) -> bool,
) -> Rates {
    let mut rates = Rates::default();
    let mut scored = Scored::default();
    for (lane, spots) in answered {
        let asked = lane.truths.iter().zip(spots);
        for (truth, spot) in asked.filter_map(|(truth, spot)| Some((truth.as_ref()?, spot))) {
            rates.judged += 1;
            match outcome(spot, truth) {
                Outcome::Right => rates.right += 1,
                Outcome::Wrong => rates.wrong += 1,
                Outcome::Undecided { truth_among } => {
                    rates.undecided += 1;
                    rates.truth_among += usize::from(truth_among);
                }
                Outcome::FalselyOutside => rates.false_not_in_set += 1,
                Outcome::NotEvaluable => rates.not_evaluable += 1,
            }
            scored.add(spot, truth);
        }
        let held = lane.holds.iter().flatten();
        let held: Vec<&String> = held.filter(|dye| in_set(lane, dye)).collect();
        let named = named(spots);
        rates.dyes += held.len();
        rates.missed += held
            .iter()
            .filter(|dye| !named.contains(dye.as_str()))
            .count();
    }
    rates.probabilities = scored.scores();
    rates
}

fn named(spots: &[SpotIdentity]) -> BTreeSet<&str> {
    let identified = spots
        .iter()
        .filter(|spot| spot.decision == Decision::Identified);
    identified
        .filter_map(|spot| spot.candidates.first())
        .flat_map(|best| best.dyes.iter().map(CompactString::as_str))
        .collect()
}

/// Probabilities beside what is there.
#[derive(Default)]
struct Scored {
    /// The probability of what is there, then of each other candidate, as one class each.
    rows: Vec<Vec<f64>>,
    /// The likeliest candidate's probability and whether it is there.
    top: (Vec<f64>, Vec<bool>),
}

impl Scored {
    fn add(&mut self, spot: &SpotIdentity, truth: &SpotTruth) {
        let judged = !matches!(
            spot.decision,
            Decision::NotEvaluable | Decision::NoValidReference
        );
        let stated: Option<Vec<f64>> = spot.candidates.iter().map(|one| one.probability).collect();
        let Some(stated) = stated.filter(|stated| judged && !stated.is_empty()) else {
            return;
        };
        // What is missing of 1 is the probability of "not in the reference set".
        let outside = (1.0 - stated.iter().sum::<f64>()).max(0.0);
        let right = spot.candidates.iter().map(|one| fits(one, truth));
        let mut classes: Vec<(f64, bool)> = stated.iter().copied().zip(right).collect();
        classes.push((outside, truth.outside));
        let of_truth: f64 = classes.iter().filter(|one| one.1).map(|one| one.0).sum();
        let mut row = vec![of_truth.min(1.0)];
        row.extend(classes.iter().filter(|one| !one.1).map(|one| one.0));
        self.rows.push(row);
        if let Some(top) = classes.iter().max_by(|a, b| a.0.total_cmp(&b.0)) {
            self.top.0.push(top.0.min(1.0));
            self.top.1.push(top.1);
        }
    }

    /// `None` where nothing was scored.
    fn scores(&self) -> Option<Scores> {
        let classes = vec![0; self.rows.len()];
        let many = many_classes(&classes, &self.rows, BINS).ok()?;
        let given: Vec<f64> = self
            .rows
            .iter()
            .filter_map(|row| Some(row.first()?.max(LEAST_PROBABILITY)))
            .collect();
        let table = reliability_table(&self.top.1, &self.top.0, BINS).ok()?;
        Some(Scores {
            spots: self.rows.len(),
            brier: many.brier,
            log_loss: log_loss(&vec![true; given.len()], &given).ok()?,
            calibration_error: expected_calibration_error(&table).ok()?,
            calibration: (0..)
                .zip(&table)
                .filter_map(|(at, bin)| row(at, bin))
                .collect(),
        })
    }
}

#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "far fewer than 2^52 spots; a share of the count is a count"
)]
fn row(at: u32, bin: &ReliabilityBin) -> Option<CalibrationRow> {
    let (stated, right) = (bin.mean_probability?, bin.observed_frequency?);
    let successes = (right * bin.count as f64).round() as u64;
    let limits = wilson_coverage_limits(successes, bin.count as u64, LEVEL).ok()?;
    Some(CalibrationRow {
        low: f64::from(at) / BINS as f64,
        high: f64::from(at + 1) / BINS as f64,
        count: bin.count,
        stated,
        right,
        right_low: limits.low,
        right_high: limits.high,
    })
}

#[cfg(test)]
pub(crate) mod tests {
    use super::{Outcome, outcome, rates};
    use crate::strategy_compare_cases::{AskedLane, SpotTruth};
    use dyebook_checks::EvaluatedLane;
    use dyebook_documents::{Candidate, ColourVerdict, Decision, Range, Role, SpotIdentity};

    /// A spot identity that holds nothing but its decision and candidates.
    pub(crate) fn spot(decision: Decision, candidates: &[(&[&str], Option<f64>)]) -> SpotIdentity {
        let candidates = candidates.iter().map(|(dyes, probability)| Candidate {
            dyes: dyes.iter().map(|dye| (*dye).into()).collect(),
            probability: *probability,
            rf_difference: 0.0,
            expected: Range {
                low: 0.0,
                high: 1.0,
            },
            colour: ColourVerdict::NotJudged,
        });
        SpotIdentity {
            spot: 1,
            rf: Some(0.5),
            u: None,
            decision,
            candidates: candidates.collect(),
            reason: String::new(),
        }
    }

    fn truth(dyes: &[&str], outside: bool) -> SpotTruth {
        let dyes = dyes.iter().map(|dye| (*dye).to_owned()).collect();
        SpotTruth { dyes, outside }
    }

    fn lane(truths: &[SpotTruth]) -> AskedLane {
        AskedLane {
            sheet: "s".into(),
            lane: EvaluatedLane {
                paper: "1".into(),
                lane: 1,
                label: "x".into(),
                role: Role::Sample,
                dye: None,
                choices: vec![],
                near: vec![],
                front_cm: None,
                spots: vec![],
            },
            truths: truths.iter().cloned().map(Some).collect(),
            holds: Some(vec!["red".into(), "blue".into()]),
        }
    }

    #[test]
    fn every_verdict_has_its_outcome() {
        let red = truth(&["red"], false);
        let named = |dyes: &[&str]| spot(Decision::Identified, &[(dyes, None)]);
        assert_eq!(outcome(&named(&["red"]), &red), Outcome::Right);
        assert_eq!(outcome(&named(&["blue"]), &red), Outcome::Wrong);
        // Of two dyes named for one spot both must be there.
        assert_eq!(outcome(&named(&["red", "blue"]), &red), Outcome::Wrong);
        let both = truth(&["red", "blue"], false);
        assert_eq!(outcome(&named(&["red", "blue"]), &both), Outcome::Right);
        let outside = spot(Decision::NotInReferenceSet, &[]);
        assert_eq!(outcome(&outside, &red), Outcome::FalselyOutside);
        assert_eq!(outcome(&outside, &truth(&[], true)), Outcome::Right);
        let open = spot(
            Decision::Indistinguishable,
            &[(&["blue"], None), (&["red"], None)],
        );
        let truth_among = true;
        assert_eq!(outcome(&open, &red), Outcome::Undecided { truth_among });
        let unread = spot(Decision::NotEvaluable, &[]);
        assert_eq!(outcome(&unread, &red), Outcome::NotEvaluable);
    }

    #[test]
    fn probabilities_are_scored_by_hand_worked_values() {
        // Two spots: 0.8 on what is there (0.1 on another, 0.1 outside), and 0.3 (0.6, 0.1).
        let lane = lane(&[truth(&["red"], false), truth(&["blue"], false)]);
        let answers = [
            spot(
                Decision::Identified,
                &[(&["red"], Some(0.8)), (&["blue"], Some(0.1))],
            ),
            spot(
                Decision::Identified,
                &[(&["red"], Some(0.6)), (&["blue"], Some(0.3))],
            ),
        ];
        let found = rates([(&lane, &answers[..])].into_iter(), &|_, _| true);
        assert_eq!((found.judged, found.right, found.wrong), (2, 1, 1));
        // Red is named twice and blue never.
        assert_eq!((found.dyes, found.missed), (2, 1));
        let scores = found.probabilities.unwrap();
        // (0.04 + 0.01 + 0.01 + 0.49 + 0.36 + 0.01) / 2
        assert!((scores.brier - 0.46).abs() < 1e-12, "{scores:?}");
        let loss = -(0.8_f64.ln() + 0.3_f64.ln()) / 2.0;
        assert!((scores.log_loss - loss).abs() < 1e-12, "{scores:?}");
        // Likeliest: 0.8, right; 0.6, wrong.
        assert!((scores.calibration_error - 0.4).abs() < 1e-12, "{scores:?}");
        assert_eq!(scores.calibration.len(), 2);
    }

    #[test]
    fn a_dye_that_was_thought_impossible_costs_a_finite_surprise() {
        let lane = lane(&[truth(&["green"], false)]);
        let answer = [spot(Decision::Identified, &[(&["red"], Some(1.0))])];
        let found = rates([(&lane, &answer[..])].into_iter(), &|_, _| true);
        let scores = found.probabilities.unwrap();
        assert!((scores.log_loss - 1e4_f64.ln()).abs() < 1e-9);
        assert!((scores.brier - 2.0).abs() < 1e-12);
    }

    #[test]
    fn a_strategy_without_probabilities_is_counted_and_not_scored() {
        let lane = lane(&[truth(&["red"], false)]);
        let answer = [spot(Decision::Identified, &[(&["red"], None)])];
        let found = rates([(&lane, &answer[..])].into_iter(), &|_, _| true);
        assert_eq!((found.right, found.probabilities), (1, None));
    }
}
