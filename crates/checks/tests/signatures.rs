//! Signatures of measuring mistakes: noise-free sizes, rates under noise, false alarms.
//!
//! The six expected Rf, the front of 8 cm, the sizes and the Rf that a mistake gives are worked out
//! from the definition of Rf (calculated, no outside source); the rates to be met are those of a
//! plain F-test classifier, simulated for the same noise (calculated).

#![expect(
    clippy::unwrap_used,
    reason = "a test; clippy sees that only in `#[test]` functions"
)]

use dyebook_checks::{Context, Remedy, Signature, evaluate, find_signatures};
use dyebook_documents::{DyeRegister, Lane, LengthUnit, Method, MethodState, Row, Sheet, Units};
use jiff::civil::date;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

const EXPECTED: [f64; 6] = [0.10, 0.25, 0.42, 0.56, 0.70, 0.95];
const DYES: [(&str, &str); 6] = [
    ("erythrosine", "Red 3"),
    ("indigo-carmine", "Blue 2"),
    ("allura-red-ac", "Red 40"),
    ("sunset-yellow-fcf", "Yellow 6"),
    ("tartrazine", "Yellow 5"),
    ("brilliant-blue-fcf", "Blue 1"),
];
const FRONT: f64 = 8.0;
const READING: f64 = 0.012;
const SHIFT: f64 = 0.02;

/// How much a paper's shift moves a spot: none at the ends of the scale, all in the middle.
fn shape(rf: f64) -> f64 {
    4.0 * rf * (1.0 - rf)
}

fn method(between_papers: impl Fn(f64) -> f64) -> Method {
    let references: Vec<_> = EXPECTED
        .iter()
        .zip(DYES)
        .map(|(rf, (dye, _))| {
            serde_json::json!({
                "dye": dye, "assigned_rf": rf,
                "expected_rf": {"low": rf - 0.05, "high": rf + 0.05},
                "sd": {"within_paper": READING, "between_papers": between_papers(*rf), "between_sessions": 0.0}
            })
        })
        .collect();
    serde_json::from_value(serde_json::json!({
        "id": "six", "version": "1.0.0", "title": "six dyes, invented",
        "stationary_phase": {"material": "paper"},
        "developer": {"components": [{"substance": "water", "make_up_to_volume": true}]},
        "layout": {"baseline_cm": 1.5, "lanes": 6, "paper_height_cm": 13},
        "measuring": {"convention": "centre"},
        "references": references
    }))
    .unwrap()
}

fn dyes() -> DyeRegister {
    let dyes = include_str!("../../../references/dyes.json");
    DyeRegister::new(serde_json::from_str::<Vec<_>>(dyes).unwrap())
}

/// Papers with six standards each, as distances and fronts in cm.
fn sheet(papers: &[[(f64, f64); 6]]) -> Sheet {
    let unit = LengthUnit::Centimetre;
    let mut lanes = vec![];
    for (number, paper) in papers.iter().enumerate() {
        for (lane, ((distance, front), (_, label))) in paper.iter().zip(DYES).enumerate() {
            lanes.push(Lane {
                paper: (number + 1).to_string().into(),
                lane: u32::try_from(lane).unwrap() + 1,
                label: label.into(),
                role: None,
                rows: vec![Row {
                    distance: Some(format!("{distance:.5}").parse().unwrap()),
                    front: Some(format!("{front:.5}").parse().unwrap()),
                    ..Row::default()
                }],
            });
        }
    }
    Sheet {
        section: None,
        group: "1".into(),
        date: Some(date(2026, 3, 9)),
        method: "six@1.0.0".into(),
        batch: None,
        units: Units {
            distance: unit,
            front: unit,
            width: None,
        },
        lanes,
        remarks: vec![],
    }
}

fn signatures(method: &Method, dyes: &DyeRegister, sheet: &Sheet) -> Vec<Signature> {
    find_signatures(&Context {
        sheet,
        evaluated: &evaluate(sheet, method, dyes),
        method,
        method_state: MethodState::Approved,
        dyes,
        own_papers: &[],
        known_papers: &[],
        group_sheets: &[],
        today: date(2026, 3, 9),
    })
}

/// A mistake: what becomes of true distance and front.
type Mistake = fn(f64, f64) -> (f64, f64);

fn noise_free(mistake: Mistake) -> Signature {
    let paper = EXPECTED.map(|rf| mistake(rf * FRONT, FRONT));
    let mut found = signatures(&method(|rf| SHIFT * shape(rf)), &dyes(), &sheet(&[paper]));
    assert_eq!(found.len(), 1, "{found:#?}");
    let one = found.remove(0);
    for (spot, expected) in one.spots.iter().zip(EXPECTED) {
        let relabelled = matches!(one.remedy, Remedy::Relabelled { .. });
        assert!(
            relabelled || (spot.rf_if_so - expected).abs() < 1e-3,
            "{one:#?}"
        );
    }
    one
}

#[test]
fn sizes_are_found_without_noise() {
    let cases: [(&str, f64, Mistake); 5] = [
        ("both-from-edge", 1.5, |d, f| (d + 1.5, f + 1.5)),
        ("front-off", 1.5, |d, f| (d, f + 1.5)),
        ("spot-off-centre", 1.5, |d, f| (d + 1.5, f)),
        ("front-off", -0.6, |d, f| (d, f - 0.6)),
        ("spot-off-centre", 0.25, |d, f| (d + 0.25, f)),
    ];
    for (model, size, mistake) in cases {
        let found = noise_free(mistake);
        assert_eq!(found.model, model, "{found:#?}");
        assert!((found.size_cm.unwrap() - size).abs() < 1e-3, "{found:#?}");
    }
}

#[test]
fn the_rf_that_a_mistake_gives_are_those_worked_out_by_hand() {
    let both = noise_free(|d, f| (d + 1.5, f + 1.5));
    let as_read: Vec<f64> = both.spots.iter().map(|spot| spot.rf).collect();
    let by_hand = [0.242, 0.368, 0.512, 0.629, 0.747, 0.958];
    assert!(
        as_read
            .iter()
            .zip(by_hand)
            .all(|(rf, hand)| (rf - hand).abs() <= 1e-3),
        "{as_read:?}"
    );
    let low = noise_free(|d, f| (d, f - 0.6));
    assert!((low.spots[5].rf - 1.027).abs() < 1e-3);
}

fn noisy(random: &mut ChaCha8Rng, shift: f64, mistake: Mistake) -> [(f64, f64); 6] {
    EXPECTED.map(|rf| {
        let (distance, front) = mistake((rf + shift * shape(rf)) * FRONT, FRONT);
        let z: f64 = StandardNormal.sample(random);
        (distance + READING * z * front, front)
    })
}

/// Share of papers for which each model is named; the rest is "nothing wrong".
fn rates(mistake: Mistake, papers: u32) -> impl Fn(&str) -> f64 {
    let mut random = ChaCha8Rng::seed_from_u64(15);
    let method = method(|rf| SHIFT * shape(rf));
    let dyes = dyes();
    let mut named: Vec<&'static str> = vec![];
    for _ in 0..papers {
        let z: f64 = StandardNormal.sample(&mut random);
        let paper = noisy(&mut random, SHIFT * z, mistake);
        let found = signatures(&method, &dyes, &sheet(&[paper]));
        named.push(found.first().map_or("none", |signature| signature.model));
    }
    move |model| {
        let count = named.iter().filter(|name| **name == model).count();
        f64::from(u32::try_from(count).unwrap()) / f64::from(papers)
    }
}

#[test]
fn clean_papers_are_left_alone() {
    let rate = rates(|d, f| (d, f), 4000);
    assert!(rate("none") >= 0.98, "{}", rate("none"));
}

#[test]
fn rates_under_noise_meet_those_of_an_f_test() {
    let cases: [(&str, f64, Mistake); 5] = [
        ("both-from-edge", 0.995, |d, f| (d + 1.5, f + 1.5)),
        ("both-from-edge", 0.99, |d, f| (d + 1.0, f + 1.0)),
        ("front-off", 0.90, |d, f| (d, f - 0.6)),
        ("spot-off-centre", 0.995, |d, f| (d + 1.5, f)),
        ("spot-off-centre", 0.56, |d, f| (d + 0.25, f)),
    ];
    for (model, least, mistake) in cases {
        let rate = rates(mistake, 1000);
        assert!(
            rate(model) >= least,
            "{model}: {} of at least {least}",
            rate(model)
        );
    }
}

#[test]
fn a_small_habit_shows_over_several_papers_of_a_group() {
    // 0.25 cm to the rim of the spots is seen on about three of five single papers.
    let mut random = ChaCha8Rng::seed_from_u64(25);
    let method = method(|rf| SHIFT * shape(rf));
    let dyes = dyes();
    let mut seen = 0;
    for _ in 0..200 {
        let papers: [_; 4] = std::array::from_fn(|_| {
            let z: f64 = StandardNormal.sample(&mut random);
            noisy(&mut random, SHIFT * z, |d, f| (d + 0.25, f))
        });
        let found = signatures(&method, &dyes, &sheet(&papers));
        let is_habit = |one: &Signature| one.model == "spot-off-centre" && one.is_clear();
        seen += u32::from(
            found
                .iter()
                .any(|one| is_habit(one) && one.papers.len() == 4),
        );
    }
    assert!(seen >= 180, "{seen} of 200");
}
