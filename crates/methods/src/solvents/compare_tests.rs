//! Comparisons against published student data and open data.

use super::{CompareQuestion, compare_solvents};
use crate::test_method::{bundled_dyes, clean_method, set};
use dyebook_documents::Method;
use proptest::prelude::*;
use serde_json::{Value, json};
use std::collections::BTreeMap;

const DYES: [&str; 6] = [
    "brilliant-blue-fcf",
    "indigo-carmine",
    "erythrosine",
    "allura-red-ac",
    "tartrazine",
    "sunset-yellow-fcf",
];

/// Two published student data sets of six dyes in salt water (StudentsA, StudentsB).
const A: [f64; 6] = [1.0, 0.0, 0.20, 0.42, 0.56, 0.46];
const B: [f64; 6] = [0.80, 0.0, 0.20, 0.30, 0.48, 0.55];

fn method(id: &str, rf: &[f64]) -> Method {
    let references: Vec<Value> = rf
        .iter()
        .enumerate()
        .map(|(index, rf)| {
            let dye = DYES
                .get(index)
                .map_or_else(|| format!("dye-{index:02}"), |d| (*d).to_owned());
            json!({"dye": dye, "assigned_rf": rf,
                "expected_rf": {"low": rf - 0.04, "high": rf + 0.04},
                "sd": {"within_paper": 0.01, "between_papers": 0.02, "between_sessions": 0.02}})
        })
        .collect();
    let mut document = clean_method();
    set(&mut document, "/id", json!(id));
    set(&mut document, "/references", json!(references));
    serde_json::from_value(document).unwrap()
}

fn question(window: f64) -> CompareQuestion {
    CompareQuestion {
        window,
        ..CompareQuestion::default()
    }
}

#[test]
fn the_student_sets_have_the_published_powers() {
    // Smalldon and Moffat's power, computed for the student sets: windows 0.05, 0.10, 0.15.
    let (a, b) = (method("a", &A), method("b", &B));
    let dyes = bundled_dyes();
    for (window, pairs, power, list) in [
        (0.05, 1, 0.933_333, 1.333_333),
        (0.10, 2, 0.866_667, 1.666_667),
        (0.15, 3, 0.8, 2.0),
    ] {
        let found = compare_solvents(&[&a], &dyes, &question(window)).unwrap();
        let one = &found.solvents[0];
        assert_eq!(one.pairs_not_separated, pairs, "{window}");
        assert!((one.discriminating_power - power).abs() < 1e-6);
        assert!((one.mean_list_length - list).abs() < 1e-6);
    }
    let both = compare_solvents(&[&a, &b], &dyes, &question(0.10)).unwrap();
    assert_eq!(both.together[0].pairs_not_separated, 1);
    assert!((both.together[0].discriminating_power - 0.933_333).abs() < 1e-6);
    assert_eq!(
        both.best_together,
        Some(["a@1.4.0".to_owned(), "b@1.4.0".to_owned()])
    );
}

#[test]
fn one_index_is_not_enough() {
    // Student sets: smallest gap 0.04 (Red 40/Yellow 6) in A, 0.07 (the two yellows) in B.
    let (a, b) = (method("a", &A), method("b", &B));
    let found = compare_solvents(&[&a, &b], &bundled_dyes(), &question(0.05)).unwrap();
    assert!((found.solvents[0].smallest_gap - 0.04).abs() < 1e-9);
    assert!((found.solvents[1].smallest_gap - 0.07).abs() < 1e-9);
    let uniformity = |i: usize| found.solvents[i].retention_uniformity;
    assert!((uniformity(0) - 0.787).abs() < 5e-4 && (uniformity(1) - 0.789).abs() < 5e-4);
    // RD sees that a dye stands at the start.
    assert!(found.solvents[0].retention_distance.abs() < 1e-12);
    let places = &found.together[0].order_changes;
    assert!(places.contains(&["sunset-yellow-fcf".to_owned(), "tartrazine".to_owned()]));
    assert!(found.sentences.iter().any(|s| s.contains("change places")));
}

#[test]
fn confusion_follows_from_gap_and_spread() {
    // Midpoint risk for a gap of 0.05: 20.2 % at s = 0.03, and at s = 0.0122 with bridging 2 %.
    let rf = [0.90, 0.05, 0.20, 0.40, 0.70, 0.45];
    let found = compare_solvents(&[&method("a", &rf)], &bundled_dyes(), &question(0.05)).unwrap();
    let pair = &found.solvents[0].critical_pair;
    assert_eq!(pair.dyes, ["allura-red-ac", "sunset-yellow-fcf"]);
    assert!(pair.like_coloured);
    assert!((pair.confusion - 0.202).abs() < 5e-4, "{}", pair.confusion);
    assert!((pair.confusion_bridged.unwrap() - 0.0206).abs() < 1e-3);
    assert!(
        pair.sentence.contains("they look alike"),
        "{}",
        pair.sentence
    );
}

#[test]
fn resolution_needs_the_widths() {
    // Two discs of 0.08 that stand 0.08 apart just touch: Rs = 1 (IUPAC 1993).
    let rf = [0.95, 0.05, 0.20, 0.40, 0.70, 0.48];
    let made = method("a", &rf);
    let widths = [("allura-red-ac", 0.08), ("sunset-yellow-fcf", 0.08)];
    let widths = widths
        .map(|(dye, width)| (dye.to_owned(), width))
        .into_iter()
        .collect();
    let asked = CompareQuestion {
        widths: BTreeMap::from([(made.name(), widths)]),
        ..CompareQuestion::default()
    };
    let found = compare_solvents(&[&made], &bundled_dyes(), &asked).unwrap();
    let known: Vec<f64> = found.solvents[0]
        .pairs
        .iter()
        .filter_map(|p| p.resolution)
        .collect();
    assert_eq!(known.len(), 1);
    assert!((known[0] - 1.0).abs() < 1e-9);
}

#[test]
fn open_data_have_the_computed_powers() {
    let text =
        include_str!("../../../../tests/published/planar/open-data-discriminating-power.json");
    let published: Value = serde_json::from_str(text).unwrap();
    let shown = published.to_string();
    // Xu et al. 2022, 20 compounds at ethyl acetate fraction 0.0476: E = 5 hRf, 14 pairs.
    assert!(shown.contains("0.926316"), "the fixture changed");
    let hrf = [
        41, 6, 18, 63, 83, 32, 47, 4, 94, 9, 27, 75, 70, 94, 73, 0, 59, 35, 14, 54,
    ];
    let rf: Vec<f64> = hrf.iter().map(|h| f64::from(*h) / 100.0).collect();
    let found = compare_solvents(&[&method("x", &rf)], &bundled_dyes(), &question(0.05)).unwrap();
    assert_eq!(found.solvents[0].pairs_not_separated, 14);
    assert!((found.solvents[0].discriminating_power - 0.926_316).abs() < 1e-6);
    assert!((found.solvents[0].mean_list_length - 2.4).abs() < 1e-9);
}

#[test]
fn what_cant_be_compared_is_refused() {
    let a = method("a", &A);
    let dyes = bundled_dyes();
    let id = |methods: &[&Method], asked: &CompareQuestion| {
        compare_solvents(methods, &dyes, asked).unwrap_err().id()
    };
    assert_eq!(id(&[], &question(0.05)), "solvent.no-method");
    assert_eq!(id(&[&a], &question(-0.1)), "solvent.bad-window");
    let unknown = CompareQuestion {
        dyes: vec!["green-s".to_owned()],
        ..question(0.05)
    };
    assert_eq!(id(&[&a], &unknown), "solvent.unknown-dye");
    let few = method("b", &[0.5]);
    assert_eq!(id(&[&a, &few], &question(0.05)), "solvent.too-few-dyes");
}

proptest! {
    #[test]
    fn list_length_follows_from_power(rf in proptest::collection::vec(0.0f64..1.0, 2..12), window in 0.0f64..0.3) {
        // Identity: MLL = 1 + (N − 1)(1 − DP).
        let n = f64::from(u32::try_from(rf.len()).unwrap());
        let found = compare_solvents(&[&method("a", &rf)], &bundled_dyes(), &question(window)).unwrap();
        let one = &found.solvents[0];
        prop_assert!((one.mean_list_length - (1.0 + (n - 1.0) * (1.0 - one.discriminating_power))).abs() < 1e-9);
        prop_assert!(one.pairs.windows(2).all(|p| p[0].confusion >= p[1].confusion));
    }
}
