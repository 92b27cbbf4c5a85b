//! Probabilities against what was really there, over thousands of simulated groups.
//!
//! The generator (`simulated_term` of the test kit) is written apart from the strategy: it moves
//! papers and sessions, runs a ruler and names colours. The strategy's parameters were chosen on other
//! seeds (`examples/choose_parameters.rs`); every limit is tested on the seeds [`FRESH`], on which
//! nothing was chosen, and holds on each of them. The figures are printed by
//! `cargo test --release -p dyebook-strategy-posterior --test simulated_groups -- --nocapture`.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]
#![expect(clippy::print_stdout, reason = "the figures are asked for by name")]

mod groups;

use std::ops::RangeInclusive;

use dyebook_plugin::strategy::{Count, Lane, ReferenceSet, Strategy};
use dyebook_strategy_posterior::{Config, Posterior};
use groups::simulated_term::{SimulatedGroup, SimulatedTerm, TermPlan, Truth};
use groups::tally::Tally;
use groups::{answer, lane, reference_set, run, strangers_only, usual};

/// Seeds of the terms that the strategy is tested on; those of `choose_parameters` are others.
const FRESH: RangeInclusive<u64> = 201..=205;
/// Groups in a term.
const GROUPS: usize = 4_000;

/// A class that looks and copies less well, with more of what nobody listed: entry errors at the
/// upper end of what is reported (4 % of words are any), twice as many neighbouring hues.
fn sloppier() -> TermPlan {
    TermPlan {
        words: (0.87, 0.09),
        strangers: 0.05,
        ..TermPlan::ten_dyes()
    }
}

/// Ten dyes among which a yellow and a red run 0.025 apart and a green and a blue 0.05: the first two
/// dry into one spot more often than not where both are there.
fn near_neighbours() -> TermPlan {
    let mut plan = usual();
    plan.dyes[5].rf = 0.60;
    (plan.dyes[6].rf, plan.dyes[6].colour) = (0.625, "red");
    (plan.dyes[8].rf, plan.dyes[9].minor) = (0.75, None);
    (plan.dyes[7].rf, plan.dyes[9].rf) = (0.85, 0.90);
    plan
}

/// Holds every fresh term of a plan against its limits.
fn every_fresh_term(plan: &TermPlan, what: &str, within_limits: impl Fn(&Tally) -> bool) {
    for seed in FRESH {
        let tally = run(&Config::default(), plan, seed, GROUPS);
        println!("{what}, seed {seed}: {}", tally.told());
        assert!(
            within_limits(&tally),
            "{what}, seed {seed}: {}",
            tally.told()
        );
    }
}

#[test]
fn probabilities_are_borne_out_and_decisions_are_right() {
    every_fresh_term(&usual(), "usual term", |tally| {
        tally.calibration_error() <= 0.02
            && tally.share_right() >= 0.995
            && tally.share_decided() >= 0.92
    });
}

/// A class less sure of its hues, and more strangers, than the strategy believes: fewer decisions,
/// still right ones.
#[test]
fn a_sloppier_class_costs_decisions_and_not_honesty() {
    every_fresh_term(&sloppier(), "sloppier term", |tally| {
        tally.calibration_error() <= 0.03
            && tally.share_right() >= 0.99
            && tally.share_decided() < 0.92
    });
}

/// Where spots scatter by half as much again as the reference set says (0.015 instead of 0.01), more
/// names are wrong than the probabilities say: a spread that is too small can't be made up for.
#[test]
fn a_class_that_scatters_more_than_its_reference_set_says_is_wrong_more_often() {
    let strategy = Posterior::prepare(&Config::default(), reference_set(&usual())).unwrap();
    let careless = TermPlan {
        within_paper: 0.015,
        ..sloppier()
    };
    let mut term = SimulatedTerm::new(careless, *FRESH.end());
    let mut tally = Tally::default();
    for _ in 0..GROUPS {
        tally.add_group(&strategy, &term.group());
    }
    println!("more scatter than stated: {}", tally.told());
    assert!(tally.share_right() >= 0.975, "{}", tally.told());
}

/// Dyes of unlike colour so near each other that they often dry into one spot.
#[test]
fn near_dyes_of_unlike_colour_are_told_by_what_they_mix_to() {
    every_fresh_term(&near_neighbours(), "near neighbours", |tally| {
        tally.calibration_error() <= 0.02
            && tally.share_right() >= 0.99
            && tally.share_decided() >= 0.88
    });
}

#[test]
fn a_stranger_placed_at_random_is_named_in_at_most_a_tenth() {
    every_fresh_term(&strangers_only(), "strangers only", |tally| {
        assert!(tally.strangers > 10_000.0);
        tally.strangers_named() <= 0.10
    });
}

/// A young method: assigned values are the means of six sessions of the same term, each of one paper
/// with one spot, errors and all. Fewer decisions than with values known for years, as honest.
#[test]
fn values_from_six_sessions_are_used_for_what_they_are() {
    let term = |seed: u64| {
        let mut set = reference_set(&usual());
        let mut term = SimulatedTerm::new(usual(), 1_000 + seed);
        establish(&mut set, &(0..6).map(|_| term.group()).collect::<Vec<_>>());
        let strategy = Posterior::prepare(&Config::default(), set).unwrap();
        let mut tally = Tally::default();
        for _ in 0..50 {
            tally.add_group(&strategy, &term.group());
        }
        tally
    };
    let tally = (0..40).map(term).reduce(Tally::with).unwrap();
    println!("young method: {}", tally.told());
    assert!(tally.calibration_error() <= 0.02, "{}", tally.told());
    assert!(tally.share_right() >= 0.995, "{}", tally.told());
    assert!(tally.share_decided() >= 0.90, "{}", tally.told());
}

/// Assigned values as these groups' standards papers give them, one session and paper each.
fn establish(set: &mut ReferenceSet, groups: &[SimulatedGroup]) {
    for reference in &mut set.references {
        let lanes = groups.iter().flat_map(|group| &group.standards);
        let main = Truth::Dyes(vec![reference.dye.clone()]);
        let mut rf = Vec::new();
        for simulated in lanes
            .flat_map(|lane| &lane.spots)
            .filter(|spot| spot.truth == main)
        {
            rf.push(groups::spot(1, simulated).rf.unwrap());
        }
        let sessions = u32::try_from(rf.len()).unwrap();
        reference.assigned_rf = Some(rf.iter().sum::<f64>() / f64::from(sessions));
        let mut count = Count::default();
        (count.sessions, count.papers, count.spots) =
            (Some(sessions), Some(sessions), Some(sessions));
        reference.count = Some(count);
    }
}

/// What is known of a paper is kept from lane to lane; nobody may see that in an answer.
#[test]
fn an_answer_does_not_hang_on_which_lanes_were_asked_before() {
    let prepare = || Posterior::prepare(&Config::default(), reference_set(&usual())).unwrap();
    let strategy = prepare();
    let mut term = SimulatedTerm::new(usual(), 301);
    for _ in 0..20 {
        let group = term.group();
        let sheet = groups::sheet(&group);
        let mut lanes: Vec<Lane> = group.samples.iter().map(lane).collect();
        for known in &sheet.known {
            let mut lane = Lane::default();
            (lane.paper, lane.lane) = (known.paper.clone(), known.lane);
            lane.spots.clone_from(&known.spots);
            lanes.push(lane);
        }
        // once in order, and once from paper to paper
        let turns = (0..lanes.len()).chain((0..lanes.len()).map(|turn| turn * 5 % lanes.len()));
        for lane in turns.map(|turn| &lanes[turn]) {
            assert_eq!(
                answer(&strategy, lane, &sheet),
                answer(&prepare(), lane, &sheet)
            );
        }
    }
}
