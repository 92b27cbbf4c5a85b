//! Probabilities and decisions counted against what was really there.

use super::simulated_term::{SimulatedGroup, Truth};
use dyebook_plugin::strategy::{CompactString, Decision, SpotAnswer};
use dyebook_statistics::calibration::{expected_calibration_error, reliability_table};
use dyebook_strategy_posterior::Posterior;

/// A smaller probability of what was there counts as this much in the surprise.
const LEAST: f64 = 1e-4;

#[derive(Default, Debug)]
pub(crate) struct Tally {
    pub(crate) spots: f64,
    pub(crate) decided: f64,
    pub(crate) right: f64,
    pub(crate) strangers: f64,
    pub(crate) strangers_named: f64,
    pub(crate) happened: Vec<bool>,
    pub(crate) stated: Vec<f64>,
    /// Sum of -ln of the probability given to what was there.
    pub(crate) surprise: f64,
}

impl Tally {
    pub(crate) fn add_group(&mut self, strategy: &Posterior, group: &SimulatedGroup) {
        let sheet = super::sheet(group);
        for simulated in group.samples.iter().filter(|lane| lane.known.is_none()) {
            let answer = super::answer(strategy, &super::lane(simulated), &sheet);
            for (spot, answer) in simulated.spots.iter().zip(&answer.spots) {
                self.add(&spot.truth, answer);
            }
        }
    }

    /// Two tallies in one.
    pub(crate) fn with(mut self, other: Self) -> Self {
        self.spots += other.spots;
        self.decided += other.decided;
        self.right += other.right;
        self.strangers += other.strangers;
        self.strangers_named += other.strangers_named;
        self.happened.extend(other.happened);
        self.stated.extend(other.stated);
        self.surprise += other.surprise;
        self
    }

    pub(crate) fn add(&mut self, truth: &Truth, answer: &SpotAnswer) {
        self.spots += 1.0;
        let really: Option<Vec<String>> = match truth {
            Truth::Dyes(dyes) => Some(dyes.clone()),
            Truth::Minor(dye) => Some(vec![dye.clone()]),
            Truth::Stranger => None,
        };
        let said = |dyes: &[CompactString]| {
            let mut dyes: Vec<String> = dyes.iter().map(ToString::to_string).collect();
            dyes.sort();
            Some(dyes) == really
        };
        let listed: f64 = answer
            .candidates
            .iter()
            .map(|c| c.probability.unwrap())
            .sum();
        assert!(listed <= 1.0 + 1e-9, "{answer:?}");
        let best = answer.candidates.first();
        let top = best.map_or(0.0, |candidate| candidate.probability.unwrap());
        // the most probable reading; that it is no dye of the set is one of them
        let stranger = 1.0 - listed;
        let (stated, happened) = match best {
            Some(best) if top >= stranger => (top, said(&best.dyes)),
            _ => (stranger, really.is_none()),
        };
        let of_truth = match answer.candidates.iter().find(|one| said(&one.dyes)) {
            Some(one) => one.probability.unwrap(),
            None if really.is_none() => stranger,
            None => 0.0,
        };
        self.surprise -= of_truth.max(LEAST).ln();
        self.stated.push(stated.clamp(0.0, 1.0));
        self.happened.push(happened);
        self.strangers += f64::from(really.is_none());
        let (decided, right) = match answer.decision {
            Decision::Identified => {
                self.strangers_named += f64::from(really.is_none());
                (true, said(&best.unwrap().dyes))
            }
            Decision::NotInReferenceSet => (true, really.is_none()),
            _ => (false, false),
        };
        self.decided += f64::from(decided);
        self.right += f64::from(right);
    }

    pub(crate) fn share_decided(&self) -> f64 {
        self.decided / self.spots
    }

    pub(crate) fn share_right(&self) -> f64 {
        self.right / self.decided
    }

    pub(crate) fn strangers_named(&self) -> f64 {
        self.strangers_named / self.strangers
    }

    pub(crate) fn mean_surprise(&self) -> f64 {
        self.surprise / self.spots
    }

    pub(crate) fn calibration_error(&self) -> f64 {
        let table = reliability_table(&self.happened, &self.stated, 10).unwrap();
        expected_calibration_error(&table).unwrap()
    }

    pub(crate) fn told(&self) -> String {
        format!(
            "{} spots: decided {:.4}, right of these {:.4}, calibration error {:.4}, strangers \
             named {:.4}, surprise {:.4}",
            self.spots,
            self.share_decided(),
            self.share_right(),
            self.calibration_error(),
            self.strangers_named(),
            self.mean_surprise()
        )
    }
}
