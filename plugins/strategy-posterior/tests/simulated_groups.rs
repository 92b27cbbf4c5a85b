//! Probabilities against what was really there, over thousands of simulated groups.
//!
//! The generator (`simulated_term` of the test kit) is written apart from the strategy: it moves
//! papers and sessions, runs a ruler and names colours. Limits asked for: expected calibration error
//! at most 0.02, at least 99.5 % of decided spots right, at least 92 % decided, and at most 10 % of
//! strangers named. (With the generator's own rates as parameters 94 % are decided: what can be had.)
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

mod groups;

use dyebook_plugin::strategy::{Decision, SpotAnswer, Strategy};
use dyebook_statistics::calibration::{expected_calibration_error, reliability_table};
use dyebook_strategy_posterior::{Config, Posterior};
use groups::simulated_term::{SimulatedGroup, SimulatedTerm, TermPlan, Truth};

const GROUPS: usize = 4_000;

#[derive(Default, Debug)]
struct Tally {
    spots: f64,
    decided: f64,
    right: f64,
    strangers: f64,
    strangers_named: f64,
    happened: Vec<bool>,
    stated: Vec<f64>,
}

fn run(plan: TermPlan, seed: u64) -> Tally {
    let strategy = Posterior::prepare(&Config::default(), groups::reference_set(&plan)).unwrap();
    let mut term = SimulatedTerm::new(plan, seed);
    let mut tally = Tally::default();
    for _ in 0..GROUPS {
        tally.add_group(&strategy, &term.group());
    }
    tally
}

impl Tally {
    fn add_group(&mut self, strategy: &Posterior, group: &SimulatedGroup) {
        let sheet = groups::sheet(group);
        for simulated in group.samples.iter().filter(|lane| lane.known.is_none()) {
            let answer = groups::answer(strategy, &groups::lane(simulated), &sheet);
            for (spot, answer) in simulated.spots.iter().zip(&answer.spots) {
                self.add(&spot.truth, answer);
            }
        }
    }

    fn add(&mut self, truth: &Truth, answer: &SpotAnswer) {
        self.spots += 1.0;
        let really: Option<Vec<String>> = match truth {
            Truth::Dyes(dyes) => Some(dyes.clone()),
            Truth::Minor(dye) => Some(vec![dye.clone()]),
            Truth::Stranger => None,
        };
        let said = |dyes: &[String]| {
            let mut dyes = dyes.to_vec();
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

    fn share_decided(&self) -> f64 {
        self.decided / self.spots
    }

    fn share_right(&self) -> f64 {
        self.right / self.decided
    }

    fn calibration_error(&self) -> f64 {
        let table = reliability_table(&self.happened, &self.stated, 10).unwrap();
        expected_calibration_error(&table).unwrap()
    }

    fn told(&self) -> String {
        format!(
            "{} spots: decided {:.4}, right of these {:.4}, strangers named {:.4}, calibration \
             error {:.4}",
            self.spots,
            self.share_decided(),
            self.share_right(),
            self.strangers_named / self.strangers,
            self.calibration_error()
        )
    }
}

/// A term as it goes: faint spots, colours not noted, minor spots, neighbours in one spot, 2 % of
/// dyes from nowhere.
#[test]
fn probabilities_are_borne_out_and_decisions_are_right() {
    let plan = TermPlan {
        strangers: 0.02,
        ..TermPlan::ten_dyes()
    };
    let tally = run(plan, 7);
    println!("{}", tally.told());
    assert!(tally.calibration_error() <= 0.02, "{}", tally.told());
    assert!(tally.share_right() >= 0.995, "{}", tally.told());
    assert!(tally.share_decided() >= 0.92, "{}", tally.told());
}

/// Readers less sure of their hues than the strategy believes: fewer decisions, still honest ones.
#[test]
fn sloppy_colours_cost_decisions_and_not_honesty() {
    let plan = TermPlan {
        strangers: 0.02,
        words: (0.83, 0.14),
        ..TermPlan::ten_dyes()
    };
    let tally = run(plan, 8);
    println!("{}", tally.told());
    assert!(tally.calibration_error() <= 0.02, "{}", tally.told());
    assert!(tally.share_right() >= 0.99, "{}", tally.told());
    assert!(tally.share_decided() < 0.92, "{}", tally.told());
}

/// One dye a lane that is in no reference set, anywhere on the paper, of any hue.
#[test]
fn a_stranger_placed_at_random_is_named_in_at_most_a_tenth() {
    let plan = TermPlan {
        strangers: 1.0,
        most_dyes: 1,
        mishaps: false,
        ..TermPlan::ten_dyes()
    };
    let tally = run(plan, 9);
    println!("{}", tally.told());
    assert!(tally.strangers > 10_000.0);
    assert!(
        tally.strangers_named / tally.strangers <= 0.10,
        "{}",
        tally.told()
    );
}

/// A young method: assigned values are the means of six sessions of the same term, each of one paper
/// with one spot, errors and all. Fewer decisions than with values known for years, as honest.
#[test]
fn values_from_six_sessions_are_used_for_what_they_are() {
    let mut tally = Tally::default();
    for seed in 0..40 {
        let plan = TermPlan {
            strangers: 0.02,
            ..TermPlan::ten_dyes()
        };
        let mut set = groups::reference_set(&plan);
        let mut term = SimulatedTerm::new(plan, 1_000 + seed);
        groups::establish(&mut set, &(0..6).map(|_| term.group()).collect::<Vec<_>>());
        let strategy = Posterior::prepare(&Config::default(), set).unwrap();
        for _ in 0..50 {
            tally.add_group(&strategy, &term.group());
        }
    }
    println!("{}", tally.told());
    assert!(tally.calibration_error() <= 0.02, "{}", tally.told());
    assert!(tally.share_right() >= 0.995, "{}", tally.told());
    assert!(tally.share_decided() >= 0.90, "{}", tally.told());
}
