//! Identities: bound to a version, repeatable, never silently across versions.

use crate::PROGRAM;
use dyebook_testkit::{Lab, SheetCsv};
use serde_json::Value;

fn import(lab: &Lab, sheet: &SheetCsv) -> String {
    lab.write("sheet.csv", sheet.text());
    let taken = lab.run(&["sheet", "import", "sheet.csv", "--json"]).json();
    taken["sheets"][0]["id"].as_str().unwrap().to_owned()
}

fn approve(lab: &Lab, reference: &str) {
    lab.done(&["method", "approve", reference, "--reason", "for a test"]);
}

fn decisions(found: &Value) -> Vec<(String, u64, String)> {
    let lanes = found["identifications"][0]["lanes"].as_array().unwrap();
    lanes
        .iter()
        .flat_map(|lane| {
            lane["spots"].as_array().unwrap().iter().map(|spot| {
                (
                    lane["label"].as_str().unwrap().to_owned(),
                    spot["spot"].as_u64().unwrap(),
                    spot["decision"].as_str().unwrap().to_owned(),
                )
            })
        })
        .collect()
}

#[test]
fn a_clean_sheet_gives_the_dyes_it_was_written_with() {
    let lab = Lab::ready(PROGRAM);
    let id = import(&lab, &SheetCsv::clean("heron"));
    for strategy in ["range", "nearest", "posterior"] {
        let found = lab.answer(0, &["identify", &id, "--strategy", strategy]);
        let identification = &found["identifications"][0];
        assert_eq!(identification["strategy"]["id"], strategy);
        let dyes = |lane: usize| -> Vec<&str> {
            let dyes = identification["lanes"][lane]["dyes"].as_array().unwrap();
            dyes.iter()
                .map(|dye| dye["dye"].as_str().unwrap())
                .collect()
        };
        assert_eq!(dyes(0), ["allura-red-ac"], "{strategy}");
        assert_eq!(dyes(3), ["tartrazine", "brilliant-blue-fcf"], "{strategy}");
        assert_eq!(dyes(4), ["allura-red-ac"], "{strategy}");
        for lane in identification["lanes"].as_array().unwrap() {
            for spot in lane["spots"].as_array().unwrap() {
                assert!(!spot["reason"].as_str().unwrap().is_empty());
            }
        }
    }
}

/// GUM, ratio of two readings: u(Rf) = √(u_d² + Rf²·u_F²) / F, with 0.05 cm each.
#[test]
fn the_uncertainty_of_rf_is_the_one_of_reading_a_ruler() {
    let lab = Lab::ready(PROGRAM);
    let id = import(&lab, &SheetCsv::clean("heron"));
    let found = lab.answer(0, &["identify", &id]);
    let spot = &found["identifications"][0]["lanes"][0]["spots"][0];
    let rf = 3.24 / 8.02;
    let u = 0.05_f64.hypot(rf * 0.05) / 8.02;
    assert!((spot["rf"].as_f64().unwrap() - rf).abs() < 1e-12);
    assert!((spot["u"].as_f64().unwrap() - u).abs() < 1e-12);
}

#[test]
fn every_decision_is_reached_and_reasoned() {
    let lab = Lab::ready(PROGRAM);
    let sheet = SheetCsv::empty("heron")
        // Yellow 5 at 0.60 and Ponceau 4R at 0.625 overlap; a brown spot is judged by neither colour.
        .spot("p", "sample", 1, "brown sweet", 4.88, 8.0, "tan")
        .spot("p", "sample", 2, "red sweet", 3.24, 8.02, "red")
        .spot("p", "sample", 3, "odd sweet", 6.2, 8.1, "red");
    let mut sheet = sheet.spot("p", "sample", 4, "pale sweet", 0.0, 8.05, "");
    sheet.rows[3].distance_cm = None;
    let id = import(&lab, &sheet);
    let found = lab.answer(0, &["identify", &id]);
    let spots = decisions(&found);
    let of = |label: &str| {
        spots
            .iter()
            .find(|(of, ..)| of == label)
            .map(|(.., decision)| decision.as_str())
    };
    assert_eq!(of("brown sweet"), Some("indistinguishable"), "{found:#}");
    assert_eq!(of("red sweet"), Some("identified"));
    assert_eq!(of("odd sweet"), Some("not in reference set"));
    // A lane without a spot has nothing to decide.
    assert!(
        matches!(of("pale sweet"), None | Some("not evaluable")),
        "{spots:?}"
    );
}

#[test]
fn identifying_twice_gives_the_same_bytes_and_one_record() {
    let lab = Lab::ready(PROGRAM);
    import(&lab, &SheetCsv::clean("heron"));
    import(&lab, &SheetCsv::clean("teal").other_readings(5));
    let first = lab.done(&["identify", "--all", "--json"]).out;
    let head = lab.head_of_history();
    assert_eq!(lab.done(&["identify", "--all", "--json"]).out, first);
    assert_eq!(
        lab.head_of_history(),
        head,
        "the same identity is kept once"
    );
    let later = lab.run_at("2027-02-01T08:00:00Z", &["identify", "--all", "--json"]);
    assert_eq!(later.out, first, "another day gives another answer");
}

#[test]
fn everything_needed_to_repeat_an_identity_is_in_it() {
    let lab = Lab::ready(PROGRAM);
    let id = import(&lab, &SheetCsv::clean("heron"));
    let found = lab.answer(0, &["identify", &id]);
    let method = &found["identifications"][0]["method"];
    let strategy = &found["identifications"][0]["strategy"];
    let shown = lab.answer(0, &["method", "show", "harrow-saline@1.0.0"]);
    assert_eq!(method["digest"], shown["digest"]);
    assert_eq!(method["digest"].as_str().unwrap().len(), 64);
    let listed = lab.answer(0, &["strategy", "list"]);
    let listed = listed["strategies"].as_array().unwrap().iter();
    let same = listed
        .filter(|one| one["id"] == strategy["id"])
        .collect::<Vec<_>>();
    assert_eq!(same.len(), 1);
    assert_eq!(strategy["digest"], same[0]["digest"]);
    assert_eq!(strategy["version"], same[0]["version"]);
    assert!(strategy["parameters"].is_object());
}

#[test]
fn a_sheet_stays_with_the_exact_version_its_reference_meant_when_it_came() {
    let lab = Lab::ready(PROGRAM);
    let sheet = SheetCsv::clean("heron").by_method("harrow-saline@^1");
    let id = import(&lab, &sheet);
    approve(&lab, "harrow-saline@1.1.0");
    let shown = lab.answer(0, &["sheet", "show", &id]);
    assert_eq!(shown["method"]["version"], "1.0.0");
    let found = lab.answer(0, &["identify", &id]);
    assert_eq!(found["identifications"][0]["method"]["version"], "1.0.0");
    // The next one means the newer version.
    let later = import(
        &lab,
        &SheetCsv::clean("teal")
            .other_readings(5)
            .by_method("harrow-saline@^1"),
    );
    let later = lab.run(&["sheet", "show", &later, "--json"]).json();
    assert_eq!(later["method"]["version"], "1.1.0");
    // Handed in again, the first one is still the same sheet.
    lab.write("sheet.csv", sheet.text());
    let again = lab.answer(0, &["sheet", "import", "sheet.csv"]);
    assert_eq!(
        (&again["sheets"][0]["new"], &again["sheets"][0]["method"]),
        (&false.into(), &"harrow-saline@1.0.0".into())
    );
}

#[test]
fn another_version_of_the_same_major_is_used_and_said() {
    let lab = Lab::ready(PROGRAM);
    let id = import(&lab, &SheetCsv::clean("heron"));
    approve(&lab, "harrow-saline@1.1.0");
    // The newer version was not in use on that day, and a person has to look at that.
    let found = lab.answer(1, &["identify", &id, "--method", "harrow-saline@1.1.0"]);
    let identification = &found["identifications"][0];
    assert_eq!(identification["method"]["version"], "1.1.0");
    let notes = identification["notes"].to_string();
    assert!(
        notes.contains("harrow-saline@1.0.0") && notes.contains("harrow-saline@1.1.0"),
        "{notes}"
    );
    let said = lab
        .ends_with(1, &["identify", &id, "--method", "harrow-saline@1.1.0"])
        .out;
    assert!(said.contains("same major version"), "{said}");
}

#[test]
fn matching_across_methods_is_refused_naming_both() {
    let lab = Lab::ready(PROGRAM);
    let id = import(&lab, &SheetCsv::clean("heron"));
    approve(&lab, "harrow-citrate@1.0.0");
    let head = lab.head_of_history();
    let across = ["identify", &id, "--method", "harrow-citrate@1.0.0"];
    let said = lab.ends_with(3, &across).err;
    assert!(
        said.contains("`harrow-saline@1.0.0`") && said.contains("`harrow-citrate@1.0.0`"),
        "{said}"
    );
    assert_eq!(lab.head_of_history(), head);
    // Leave can be given with a reason, and then every answer says so.
    lab.ends_with(2, &[&across[..], &["--across-versions"]].concat());
    let leave = [
        &across[..],
        &["--across-versions", "--reason", "to show why not"],
    ]
    .concat();
    let found = lab.answer(1, &leave);
    let notes = found["identifications"][0]["notes"].to_string();
    assert!(
        notes.contains("ACROSS VERSIONS") && notes.contains("to show why not"),
        "{notes}"
    );
}

#[test]
fn matching_across_a_major_of_one_method_is_refused_naming_both() {
    let lab = Lab::ready(PROGRAM);
    let id = import(&lab, &SheetCsv::clean("heron"));
    let mut next = lab.answer(0, &["method", "show", "harrow-saline@1.0.0"]);
    let members = next.as_object_mut().unwrap();
    for added in [
        "state",
        "digest",
        "origin",
        "effective_from",
        "effective_to",
    ] {
        members.remove(added);
    }
    next["version"] = "2.0.0".into();
    next["developer"]["components"][2]["amount"] = 3.0.into();
    lab.write("next.json", next.to_string());
    lab.done(&["method", "add", "next.json"]);
    approve(&lab, "harrow-saline@2.0.0");
    let said = lab
        .ends_with(3, &["identify", &id, "--method", "harrow-saline@2.0.0"])
        .err;
    assert!(
        said.contains("`harrow-saline@1.0.0`") && said.contains("`harrow-saline@2.0.0`"),
        "{said}"
    );
    assert!(said.contains("major"), "{said}");
}

#[test]
fn a_parameter_of_a_strategy_is_taken_and_kept() {
    let lab = Lab::ready(PROGRAM);
    let id = import(&lab, &SheetCsv::clean("heron"));
    let identify = ["identify", &id, "--strategy", "range", "--param"];
    let found = lab.answer(0, &[&identify[..], &["k=3"]].concat());
    let kept = &found["identifications"][0]["strategy"]["parameters"]["k"];
    assert!((kept.as_f64().unwrap() - 3.0).abs() < 1e-12, "{kept}");
    for refused in ["k=far", "k=-1", "nonsense=1", "k"] {
        lab.ends_with(3, &[&identify[..], &[refused]].concat());
    }
}
