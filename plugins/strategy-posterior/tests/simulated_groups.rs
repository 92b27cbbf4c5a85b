//! Probabilities against what was really there, over thousands of simulated groups.
//!
//! The generator (`dyebook_testkit::simulated_term`) is written apart from the strategy. Limits: an
//! exact posterior of a plain generating model decides 95 % of spots and has 99.9 % of them right
//! (worked apart, ten dyes, two of one colour 0.07 apart).
#![expect(clippy::unwrap_used, reason = "a test may stop at once, in its helpers too")]

mod groups;

use dyebook_plugin::strategy::{Decision, SpotAnswer, Strategy};
use dyebook_statistics::calibration::{expected_calibration_error, reliability_table};
use dyebook_strategy_posterior::{Config, Posterior};
use dyebook_testkit::simulated_term::{SimulatedTerm, TermPlan, Truth};

const GROUPS: usize = 2_500;

#[derive(Default, Debug)]
struct Tally {
    spots: f64,
    decided: f64,
    right: f64,
    named_right: f64,
    named: f64,
    strangers: f64,
    strangers_named: f64,
    happened: Vec<bool>,
    stated: Vec<f64>,
}

fn run(config: &Config, plan: TermPlan, seed: u64, groups: usize) -> Tally {
    let strategy = Posterior::prepare(config, groups::reference_set(&plan)).unwrap();
    let mut term = SimulatedTerm::new(plan, seed);
    let mut tally = Tally::default();
    for _ in 0..groups {
        let group = term.group();
        let sheet = groups::sheet(&group);
        for simulated in group.samples.iter().filter(|lane| lane.known.is_none()) {
            let answer = groups::answer(&strategy, &groups::lane(simulated), &sheet);
            for (spot, answer) in simulated.spots.iter().zip(&answer.spots) {
                tally.add(&spot.truth, answer);
            }
        }
    }
    tally
}

impl Tally {
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
        let probability = |p: Option<f64>| p.unwrap();
        let listed: f64 = answer.candidates.iter().map(|c| probability(c.probability)).sum();
        let best = answer.candidates.first();
        let top = best.map_or(0.0, |c| probability(c.probability));
        // the most probable reading, a stranger being one
        let stranger = 1.0 - listed;
        let (stated, happened) = match best {
            Some(best) if top >= stranger => (top, said(&best.dyes)),
            _ => (stranger, really.is_none()),
        };
        self.stated.push(stated.clamp(0.0, 1.0));
        self.happened.push(happened);
        if really.is_none() {
            self.strangers += 1.0;
        }
        match answer.decision {
            Decision::Identified => {
                self.decided += 1.0;
                self.named += 1.0;
                let right = said(&best.unwrap().dyes);
                self.right += f64::from(right);
                self.named_right += f64::from(right);
                if really.is_none() {
                    self.strangers_named += 1.0;
                }
            }
            Decision::NotInReferenceSet => {
                self.decided += 1.0;
                self.right += f64::from(really.is_none());
            }
            _ => {}
        }
    }

    fn calibration_error(&self) -> f64 {
        let table = reliability_table(&self.happened, &self.stated, 10).unwrap();
        expected_calibration_error(&table).unwrap()
    }
}

#[test]
fn show() {
    for (u,i,g,n) in [(0.02,0.95,20.0,0.8),(0.05,0.95,20.0,0.8),(0.055,0.95,20.0,0.8),(0.06,0.95,20.0,0.8),(0.06,0.95,20.0,0.85),(0.065,0.95,20.0,0.8)] {
    let mut c=Config::default(); c.unknown_prior=u; c.identify_at=i; c.gap=g; c.colour_own=0.95; c.colour_neighbour=0.04; c.not_in_set_at=n;
    println!("own unknown {u} at {i} {n}");
    for (name, mishaps, strangers, most) in [("mishaps", true, 0.02,3), ("one stranger",true,1.0,1),("one stranger plain", false, 1.0,1)] {
        let mut plan = TermPlan::ten_dyes();
        plan.mishaps = mishaps;
        plan.strangers = strangers; plan.most_dyes=most;
        let t = run(&c, plan, 7, 4000);
        println!("{name:14}: decided {:.4} right of decided {:.4} named right {:.5} strangers named {:.4} ece {:.4}", t.decided/t.spots, t.right/t.decided, t.named_right/t.named, t.strangers_named/t.strangers, t.calibration_error());
    }}
}
