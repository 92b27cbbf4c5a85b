//! Does the 95 % range for one spot in a new session hold 95 % of them? Seeded simulation of whole
//! terms: references from a few sessions, then one spot of a session not among them.
//!
//! SDs within a paper 0.01, between papers 0.02, between sessions 0.02: assumed for illustration, of
//! the size of a careful class. Nine spots on one paper with "mean ± 2 SD" hold 36 % (worked apart).

#![expect(clippy::unwrap_used, reason = "a helper of tests, outside #[test]")]

use dyebook_statistics::summary::{mean, standard_deviation};
use dyebook_statistics::variance_components::{future_spot, nested};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

const TERMS: u32 = 10_000;

/// Standard deviations within a paper, between papers, between sessions.
type Sds = [f64; 3];

/// Spots on each paper of each session.
type Design = &'static [&'static [usize]];

const ALL: Sds = [0.01, 0.02, 0.02];
const DESIGNS: [(&str, Design); 6] = [
    ("3 sessions x 2 papers", &[&[2, 2], &[2, 2], &[2, 2]]),
    (
        "6 sessions x 2 papers",
        &[&[2, 2], &[2, 2], &[2, 2], &[2, 2], &[2, 2], &[2, 2]],
    ),
    (
        "6 sessions x 1 paper",
        &[&[2], &[2], &[2], &[2], &[2], &[2]],
    ),
    ("unbalanced, 3 sessions", &[&[2, 2, 2], &[2], &[1, 2]]),
    ("unbalanced, 4 sessions", &[&[2, 2], &[2], &[2, 1, 2], &[1]]),
    (
        "unbalanced, 6 sessions",
        &[&[2, 2, 2, 2], &[2], &[1, 1], &[2], &[2, 3], &[1]],
    ),
];

struct Coverage {
    ours: f64,
    two_sd: f64,
}

fn simulate(design: Design, sds: Sds, seed: u64) -> Coverage {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut normal = |sd: f64| -> f64 {
        let z: f64 = StandardNormal.sample(&mut random);
        sd * z
    };
    let (mut ours, mut two_sd) = (0, 0);
    for _ in 0..TERMS {
        let mut sessions = Vec::new();
        for papers in design {
            let session = 0.4 + normal(sds[2]);
            let mut of_session = Vec::new();
            for spots in *papers {
                let paper = session + normal(sds[1]);
                of_session.push(
                    (0..*spots)
                        .map(|_| paper + normal(sds[0]))
                        .collect::<Vec<f64>>(),
                );
            }
            sessions.push(of_session);
        }
        let future = 0.4 + normal(sds[2]) + normal(sds[1]) + normal(sds[0]);
        let range = future_spot(&nested(&sessions).unwrap(), 0.95).unwrap();
        ours += u32::from((future - range.centre).abs() <= range.half_width);
        let all: Vec<f64> = sessions.into_iter().flatten().flatten().collect();
        let reach = 2.0 * standard_deviation(&all).unwrap();
        two_sd += u32::from((future - mean(&all).unwrap()).abs() <= reach);
    }
    let share = |count| f64::from(count) / f64::from(TERMS);
    Coverage {
        ours: share(ours),
        two_sd: share(two_sd),
    }
}

/// The share must lie within 1.5 points of 95 %.
fn check(sds: Sds, seed: u64) -> Vec<(&'static str, Coverage)> {
    DESIGNS
        .iter()
        .zip(seed..)
        .map(|((name, design), seed)| {
            let coverage = simulate(design, sds, seed);
            assert!(
                (coverage.ours - 0.95).abs() <= 0.015,
                "{name} at {sds:?} covers {:.4}",
                coverage.ours
            );
            (*name, coverage)
        })
        .collect()
}

#[test]
fn with_all_three_components() {
    for (name, coverage) in check(ALL, 100) {
        assert!(
            coverage.two_sd < 0.92,
            "{name}: mean ± 2 SD covers {}",
            coverage.two_sd
        );
    }
}

#[test]
fn without_spread_between_sessions() {
    check([0.01, 0.02, 0.0], 200);
}

#[test]
fn without_spread_between_papers() {
    check([0.01, 0.0, 0.02], 300);
}

#[test]
fn with_spread_on_the_paper_only() {
    check([0.01, 0.0, 0.0], 400);
}

#[test]
fn nine_spots_on_one_paper_cover_a_third() {
    // one session, one paper: no range for a new session can be had, and mean ± 2 SD covers 36 %
    let mut random = ChaCha8Rng::seed_from_u64(500);
    let mut normal = |sd: f64| -> f64 {
        let z: f64 = StandardNormal.sample(&mut random);
        sd * z
    };
    let mut inside = 0;
    for _ in 0..TERMS {
        let paper = normal(0.02) + normal(0.02);
        let spots: Vec<f64> = (0..9).map(|_| paper + normal(0.01)).collect();
        let future = normal(0.02) + normal(0.02) + normal(0.01);
        let reach = 2.0 * standard_deviation(&spots).unwrap();
        inside += u32::from((future - mean(&spots).unwrap()).abs() <= reach);
        assert!(nested(&[vec![spots]]).is_err());
    }
    let share = f64::from(inside) / f64::from(TERMS);
    assert!((share - 0.36).abs() < 0.02, "{share}");
}
