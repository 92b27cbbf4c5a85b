//! Two published sets of student data, through the program. Their pages are named in
//! `tests/published/student/README.md`; only numbers were taken from them.

use crate::{PROGRAM, project};
use dyebook_testkit::Lab;
use serde_json::Value;

/// A lab with the methods made from the six dyes of each set.
fn with_methods() -> Lab {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    for method in ["student-a", "student-b"] {
        let file = format!("{method}.json");
        lab.write(
            &file,
            project::text(&format!("tests/published/student/{file}")),
        );
        lab.done(&["method", "add", &file]);
        lab.done(&[
            "method",
            "approve",
            &format!("{method}@1.0.0"),
            "--reason",
            "as published",
        ]);
    }
    lab
}

/// A lab in which these files were imported; answers the import.
fn with(files: &[&str]) -> (Lab, Value) {
    let lab = with_methods();
    for file in files {
        lab.write(
            file,
            project::text(&format!("tests/published/student/{file}")),
        );
    }
    let mut arguments = vec!["sheet", "import"];
    arguments.extend(files);
    let taken = lab.answer(0, &arguments);
    (lab, taken)
}

fn checks<'a>(taken: &'a Value, sheet: usize, id: &str) -> Vec<&'a Value> {
    let checks = taken["sheets"][sheet]["checks"].as_array().unwrap();
    checks.iter().filter(|check| check["check"] == id).collect()
}

fn lane<'a>(found: &'a Value, label: &str) -> &'a Value {
    let lanes = found["identifications"][0]["lanes"].as_array().unwrap();
    lanes.iter().find(|lane| lane["label"] == label).unwrap()
}

/// Rf as the pages report them, from distances as the pages give them. One is cut instead of
/// rounded on the page: 19/48 = 0.396 stands there as 0.39.
#[test]
fn rf_of_both_sets_come_out_as_published() {
    let (lab, taken) = with(&["student-a.csv", "student-b.csv"]);
    let mut compared = 0;
    for sheet in taken["sheets"].as_array().unwrap() {
        let shown = lab.answer(0, &["sheet", "show", sheet["id"].as_str().unwrap()]);
        let rows = shown["sheet"]["lanes"]
            .as_array()
            .unwrap()
            .iter()
            .flat_map(|lane| lane["rows"].as_array().unwrap());
        for (row, spot) in rows.zip(shown["rf"].as_array().unwrap()) {
            let reported: f64 = row["reported_rf"].as_str().unwrap().parse().unwrap();
            let rf = spot["rf"].as_f64().unwrap();
            let allowed = if row["reported_rf"] == "0.39" {
                0.01
            } else {
                0.005 + 1e-9
            };
            assert!((rf - reported).abs() <= allowed, "{rf} against {reported}");
            compared += 1;
        }
    }
    assert_eq!(compared, 27);
}

#[test]
fn a_red_at_0_66_is_not_identified_as_red_40_at_0_42() {
    let (lab, taken) = with(&["student-a.csv"]);
    let id = taken["sheets"][0]["id"].as_str().unwrap();
    for strategy in ["range", "nearest", "posterior"] {
        let found = lab.answer(0, &["identify", id, "--strategy", strategy]);
        let red = lane(&found, "red colour");
        let spot = &red["spots"][0];
        assert!((spot["rf"].as_f64().unwrap() - 0.66).abs() < 1e-12);
        assert_ne!(spot["decision"], "identified", "{strategy}: {spot}");
        assert!(
            red["dyes"].as_array().unwrap().is_empty(),
            "{strategy}: {red}"
        );
        // The standard itself is what it says.
        assert_eq!(
            lane(&found, "Red 40")["dyes"][0]["dye"],
            "allura-red-ac",
            "{strategy}"
        );
    }
}

#[test]
fn the_cut_rf_is_named() {
    let (_, taken) = with(&["student-a.csv"]);
    let reported = checks(&taken, 0, "reported-rf");
    assert_eq!(reported.len(), 1, "{reported:?}");
    let message = reported[0]["message"].as_str().unwrap();
    assert!(
        message.contains("cut, not rounded") && message.contains("0.396"),
        "{message}"
    );
}

#[test]
fn the_wrong_unit_label_is_named_and_rf_are_left_alone() {
    let (lab, taken) = with(&["student-b.csv"]);
    let unit = checks(&taken, 0, "unit-label");
    assert!(!unit.is_empty(), "{taken:#}");
    for check in unit {
        assert!(check["message"].as_str().unwrap().contains("mm"), "{check}");
        assert!(check["alternatives"].to_string().contains("cm"), "{check}");
    }
    // Rf does not know the unit, and nothing was corrected.
    let shown = lab.answer(
        0,
        &["sheet", "show", taken["sheets"][0]["id"].as_str().unwrap()],
    );
    assert_eq!(shown["sheet"]["units"]["distance"], "mm");
    assert!((shown["rf"][4]["rf"].as_f64().unwrap() - 0.475).abs() < 1e-12);
}

#[test]
fn the_exchanged_order_of_the_two_yellows_is_seen() {
    let (_, taken) = with(&["student-b.csv"]);
    let order = checks(&taken, 0, "rank-order-inverted");
    assert_eq!(order.len(), 1, "{taken:#}");
    let message = order[0]["message"].as_str().unwrap();
    assert!(
        message.contains("Yellow 5") && message.contains("Yellow 6"),
        "{message}"
    );
    // By the method made from its own standards, the order is the expected one.
    let lab = with_methods();
    let own =
        project::text("tests/published/student/student-b.csv").replace("student-a@", "student-b@");
    lab.write("own.csv", own);
    let taken = lab.answer(0, &["sheet", "import", "own.csv"]);
    assert!(
        checks(&taken, 0, "rank-order-inverted").is_empty(),
        "{taken:#}"
    );
}
