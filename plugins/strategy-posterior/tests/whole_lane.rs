//! The sum over all readings of a lane, against the same written out the plain way; and lanes with
//! many spots.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

mod words;

use std::time::Instant;

use dyebook_plugin::Context;
use dyebook_plugin::strategy::{
    Answer, Count, Decision, Lane, Question, Reference, ReferenceSet, Sheet, Spot, Spread, Strategy,
};
use dyebook_strategy_posterior::{Config, Posterior};

const SD: [f64; 3] = [0.01, 0.02, 0.02];

fn set(rf: &[f64]) -> ReferenceSet {
    let mut set = ReferenceSet::default();
    set.colour_words = words::colour_words();
    for (number, rf) in rf.iter().enumerate() {
        let mut reference = Reference::new(&format!("dye-{number:04}"), rf - 0.06, rf + 0.06);
        reference.assigned_rf = Some(*rf);
        let (mut sd, mut count) = (Spread::default(), Count::default());
        (sd.within_paper, sd.between_papers, sd.between_sessions) =
            (Some(SD[0]), Some(SD[1]), Some(SD[2]));
        // so many that t is normal and the assigned values count as known
        let many = Some(1_000_000_000);
        (count.sessions, count.papers, count.spots) = (many, many, many);
        (reference.sd, reference.count) = (Some(sd), Some(count));
        set.references.push(reference);
    }
    set
}

fn ask(set: ReferenceSet, config: &Config, rf: &[f64]) -> Answer {
    let strategy = Posterior::prepare(config, set).unwrap();
    let (mut lane, sheet) = (Lane::default(), Sheet::default());
    lane.spots = (1..)
        .zip(rf)
        .map(|(number, rf)| Spot::new(number, *rf, 0.005))
        .collect();
    let context = Context::without_host();
    strategy
        .match_lane(&Question::new(&lane, &sheet, &context))
        .unwrap()
}

/// Normal density of two spots that share a shift, written out: variance SD² each, covariance of
/// the two common shifts.
fn density(deviations: &[f64]) -> f64 {
    let shared = SD[1].powi(2) + SD[2].powi(2);
    let own = SD[0].powi(2);
    let tau = 2.0 * std::f64::consts::PI;
    match deviations {
        [] => 1.0,
        [a] => (-a * a / (2.0 * (own + shared))).exp() / (tau * (own + shared)).sqrt(),
        [a, b] => {
            let (v, c) = (own + shared, shared);
            let determinant = v * v - c * c;
            let q = (v * a * a - 2.0 * c * a * b + v * b * b) / determinant;
            (-q / 2.0).exp() / (tau * determinant.sqrt())
        }
        _ => unreachable!("two spots"),
    }
}

/// Three dyes, two spots, no colours, shifts common to all dyes: 13 readings, all written out.
#[test]
fn marginals_are_those_of_all_readings_written_out() {
    let rf = [0.40, 0.45, 0.52];
    let seen = [0.43, 0.49];
    let config = Config {
        own_share: 0.0,
        slope_share: 0.0,
        merge_distance: 0.0,
        ..Config::default()
    };
    let answer = ask(set(&rf), &config, &seen);
    let (dye, none) = ((1.0 - config.unknown_prior) / 3.0, config.unknown_prior);
    let mut total = 0.0;
    let mut shares = [[0.0; 4]; 2];
    for a in 0..4 {
        for b in 0..4 {
            if a == b && a != 3 {
                continue;
            }
            let mut deviations = Vec::new();
            let mut weight = 1.0;
            for (choice, seen) in [(a, seen[0]), (b, seen[1])] {
                weight *= if choice == 3 { none } else { dye };
                if choice != 3 {
                    deviations.push(seen - rf[choice]);
                }
            }
            weight *= density(&deviations);
            total += weight;
            shares[0][a] += weight;
            shares[1][b] += weight;
        }
    }
    for (spot, shares) in answer.spots.iter().zip(shares) {
        for (number, share) in shares.iter().take(3).enumerate() {
            let id = format!("dye-{number:04}");
            let found = spot
                .candidates
                .iter()
                .find(|candidate| candidate.dyes == [id.clone()]);
            let stated = found.map_or(0.0, |candidate| candidate.probability.unwrap());
            let expected = share / total;
            // the last tenth of a per cent of dyes is not listed
            if found.is_some() || expected > 0.0011 {
                assert!(
                    (stated - expected).abs() < 1e-6,
                    "{id}: {stated} {expected}"
                );
            }
        }
    }
}

/// Two spots 0.05 apart between three dyes 0.05 apart: seen together they can only be the lower or
/// the upper two, which spots judged by themselves wouldn't know.
#[test]
fn spots_of_one_lane_know_of_each_other() {
    let config = Config {
        merge_distance: 0.0,
        ..Config::default()
    };
    let answer = ask(set(&[0.30, 0.35, 0.40]), &config, &[0.325, 0.375]);
    let of = |spot: usize, id: &str| {
        let same = |c: &&dyebook_plugin::strategy::Candidate| c.dyes == [id.to_owned()];
        answer.spots[spot]
            .candidates
            .iter()
            .find(same)
            .map_or(0.0, |c| c.probability.unwrap())
    };
    // lower two, upper two, or the outer two: judged one by one all three are alike, and the lower
    // spot is the lowest dye in two of them; together the outer two would need opposite shifts
    assert!((0.5..0.6).contains(&of(0, "dye-0000")), "{answer:?}");
    assert!((of(0, "dye-0000") - of(1, "dye-0002")).abs() < 1e-9);
}

/// Twelve and more spots: answered at once, said to be weighed one by one, and probabilities hold.
#[test]
fn many_spots_do_not_blow_up() {
    for (spots, dyes) in [(12, 20), (16, 14), (12, 1000)] {
        let place = |k: usize, n: usize| {
            let (k, n) = (u32::try_from(k).unwrap(), u32::try_from(n).unwrap());
            0.05 + 0.9 * f64::from(k) / f64::from(n)
        };
        let rf: Vec<f64> = (0..dyes).map(|k| place(k, dyes)).collect();
        let seen: Vec<f64> = (0..spots).map(|k| place(k, spots) + 0.004).collect();
        let begin = Instant::now();
        let answer = ask(set(&rf), &Config::default(), &seen);
        assert!(
            begin.elapsed().as_secs() < 10,
            "{spots} spots by {dyes} dyes"
        );
        assert_eq!(answer.spots.len(), spots);
        for spot in &answer.spots {
            let sum: f64 = spot.candidates.iter().map(|c| c.probability.unwrap()).sum();
            assert!(sum <= 1.0 + 1e-9);
            assert!(spot.reason.contains("weighed by itself"), "{}", spot.reason);
            assert!(spot.decision != Decision::NotEvaluable);
        }
    }
}
