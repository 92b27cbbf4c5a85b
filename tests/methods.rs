//! The life of a method, through the program: drafts, version steps, approval, withdrawal.

use crate::PROGRAM;
use dyebook_testkit::{Lab, MethodDraft, SheetCsv};
use serde_json::{Value, json};

/// A lab with `trial@1.0.0` in use.
fn lab_with_trial() -> Lab {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    add(&lab, &MethodDraft::new("trial", "1.0.0"));
    approve(&lab, "trial@1.0.0");
    lab
}

fn add(lab: &Lab, draft: &MethodDraft) {
    lab.write("draft.json", draft.text());
    lab.done(&["method", "add", "draft.json"]);
}

fn approve(lab: &Lab, reference: &str) {
    lab.done(&[
        "method",
        "approve",
        reference,
        "--reason",
        "tried on the bench",
    ]);
}

fn state(lab: &Lab, reference: &str) -> Value {
    lab.answer(0, &["method", "show", reference])["state"].clone()
}

/// Changes with the step that the version rules ask for and the rule that asks for it.
fn steps() -> Vec<(&'static str, &'static str, MethodDraft)> {
    let draft = |version: &str| MethodDraft::new("trial", version);
    vec![
        (
            "major",
            "composition",
            draft("1.0.1").with("/developer/components/1/amount", json!(2.0)),
        ),
        (
            "major",
            "composition",
            draft("1.0.1").with(
                "/developer/components/1/substance",
                json!("trisodium citrate"),
            ),
        ),
        (
            "major",
            "stationary_phase",
            draft("1.0.1").with("/stationary_phase/material", json!("silica gel")),
        ),
        (
            "major",
            "measuring",
            draft("1.0.1").with("/measuring/convention", json!("leading-edge")),
        ),
        (
            "patch",
            "",
            draft("1.0.1").with("/title", json!("Three dyes in salted water, invented")),
        ),
    ]
}

#[test]
fn a_smaller_step_than_needed_is_refused_and_the_rule_named() {
    for (required, rule, draft) in steps() {
        let lab = lab_with_trial();
        add(&lab, &draft);
        let diff = lab.answer(0, &["method", "diff", "trial@1.0.0", "trial@1.0.1"]);
        assert_eq!(diff["required"], required, "{diff:#}");
        assert_eq!(diff["declared"], "patch");
        let changes = diff["changes"].as_array().unwrap();
        let named = changes
            .iter()
            .find(|change| change["bump"] == required)
            .unwrap();
        let id = named["rule"].as_str().unwrap();
        assert!(id.contains(rule), "{id} is not about {rule}");
        let approval = [
            "method",
            "approve",
            "trial@1.0.1",
            "--reason",
            "looks the same",
        ];
        if required == "patch" {
            lab.done(&approval);
            continue;
        }
        let head = lab.head_of_history();
        let said = lab.ends_with(3, &approval).err;
        assert!(said.starts_with("error[method.bump-too-small]"), "{said}");
        assert!(said.contains(id) && said.contains("2.0.0"), "{said}");
        assert_eq!(lab.head_of_history(), head);
        assert_eq!(state(&lab, "trial@1.0.1"), "draft");
    }
}

#[test]
fn a_dye_more_asks_for_a_minor_step() {
    let lab = lab_with_trial();
    let draft = MethodDraft::new("trial", "1.1.0");
    let mut references = draft.document["references"].clone();
    let mut new = references[0].clone();
    new["dye"] = json!("azorubine");
    new["assigned_rf"] = json!(0.25);
    new["expected_rf"] = json!({"low": 0.2, "high": 0.3});
    references.as_array_mut().unwrap().push(new);
    add(&lab, &draft.with("/references", references));
    let diff = lab.answer(0, &["method", "diff", "trial@1.0.0", "trial@1.1.0"]);
    assert_eq!(
        (&diff["required"], &diff["declared"]),
        (&"minor".into(), &"minor".into())
    );
    let approved = lab.answer(
        0,
        &["method", "approve", "trial@1.1.0", "--reason", "azorubine"],
    );
    assert_eq!(approved["supersedes"], "trial@1.0.0");
    assert_eq!(state(&lab, "trial@1.0.0"), "superseded");
    assert_eq!(state(&lab, "trial@^1"), "approved");
    assert_eq!(
        lab.answer(0, &["method", "show", "trial@^1"])["version"],
        "1.1.0"
    );
}

#[test]
fn another_way_to_write_the_same_liquid_is_no_new_liquid() {
    let lab = lab_with_trial();
    let same = MethodDraft::new("trial", "1.0.1")
        .with("/developer/components/1/amount", json!(10.0))
        .with("/developer/components/1/basis", json!("g/L"));
    add(&lab, &same);
    let diff = lab.answer(0, &["method", "diff", "trial@1.0.0", "trial@1.0.1"]);
    // Rf stay comparable, and who makes it up reads another recipe: a minor step.
    assert_eq!(diff["required"], "minor", "{diff:#}");
}

#[test]
fn what_was_approved_never_changes() {
    let lab = lab_with_trial();
    let before = lab.answer(0, &["method", "show", "trial@1.0.0"]);
    let changed = MethodDraft::new("trial", "1.0.0").with("/title", json!("Another title"));
    lab.write("draft.json", changed.text());
    let said = lab.ends_with(3, &["method", "add", "draft.json"]).err;
    assert!(said.starts_with("error[method.is-approved]"), "{said}");
    assert_eq!(lab.answer(0, &["method", "show", "trial@1.0.0"]), before);
    let again = lab
        .ends_with(
            3,
            &["method", "approve", "trial@1.0.0", "--reason", "again"],
        )
        .err;
    assert!(again.starts_with("error[method.not-a-draft]"), "{again}");
    // The same content again is no change.
    add(&lab, &MethodDraft::new("trial", "1.0.0"));
}

#[test]
fn a_draft_may_change_until_it_is_approved_and_pre_releases_stay_drafts() {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    add(&lab, &MethodDraft::new("trial", "1.0.0-beta.1"));
    let said = lab
        .ends_with(
            3,
            &["method", "approve", "trial@1.0.0-beta.1", "--reason", "r"],
        )
        .err;
    assert!(said.starts_with("error[method.is-a-pre-release]"), "{said}");
    add(&lab, &MethodDraft::new("trial", "1.0.0"));
    add(
        &lab,
        &MethodDraft::new("trial", "1.0.0").with("/title", json!("Mended title")),
    );
    assert_eq!(
        lab.answer(0, &["method", "show", "trial@1.0.0"])["title"],
        "Mended title"
    );
    lab.ends_with(3, &["method", "approve", "trial@1.0.0", "--reason", ""]);
    lab.ends_with(2, &["method", "approve", "trial@1.0.0"]);
    approve(&lab, "trial@1.0.0");
}

#[test]
fn withdrawn_versions_stay_readable_and_their_sheets_answer_as_before() {
    let lab = Lab::ready(PROGRAM);
    lab.write("heron.csv", SheetCsv::clean("heron").text());
    let taken = lab.answer(0, &["sheet", "import", "heron.csv"]);
    let id = taken["sheets"][0]["id"].as_str().unwrap();
    let before = lab.answer(0, &["identify", id]);
    let withdrawn = lab.answer(
        0,
        &[
            "method",
            "withdraw",
            "harrow-saline@1.0.0",
            "--reason",
            "the paper was mixed up",
        ],
    );
    assert_eq!(
        withdrawn["used_by"],
        json!({"sheets": 1, "identifications": 1})
    );
    assert_eq!(state(&lab, "harrow-saline@1.0.0"), "withdrawn");
    assert_eq!(lab.answer(0, &["identify", id]), before);

    // A sheet that comes in now is taken, and told that nothing valid stands behind it.
    lab.write("teal.csv", SheetCsv::clean("teal").other_readings(5).text());
    let late = lab.run(&["sheet", "import", "teal.csv", "--json"]).json();
    let checks = late["sheets"][0]["checks"].as_array().unwrap();
    assert!(
        checks
            .iter()
            .any(|check| check["check"] == "method-not-approved"),
        "{late:#}"
    );
    let late = late["sheets"][0]["id"].as_str().unwrap();
    let found = lab.answer(1, &["identify", late]);
    let lanes = found["identifications"][0]["lanes"].as_array().unwrap();
    let mut decisions = lanes
        .iter()
        .flat_map(|lane| lane["spots"].as_array().unwrap());
    assert!(
        decisions.all(|spot| spot["decision"] == "no valid reference"),
        "{found:#}"
    );
    // A requirement finds nothing any more.
    lab.ends_with(3, &["method", "show", "harrow-saline@^1"]);
    lab.ends_with(
        3,
        &[
            "method",
            "withdraw",
            "harrow-saline@1.0.0",
            "--reason",
            "again",
        ],
    );
}

#[test]
fn a_superseded_version_still_takes_sheets_and_says_so() {
    let lab = Lab::ready(PROGRAM);
    approve(&lab, "harrow-saline@1.1.0");
    lab.write("heron.csv", SheetCsv::clean("heron").text());
    let taken = lab.answer(0, &["sheet", "import", "heron.csv"]);
    let sheet = &taken["sheets"][0];
    assert_eq!(sheet["method"], "harrow-saline@1.0.0");
    let checks = sheet["checks"].as_array().unwrap();
    assert!(
        checks
            .iter()
            .any(|check| check["check"] == "method-not-approved"),
        "{taken:#}"
    );
}

#[test]
fn the_history_of_a_method_tells_who_when_and_why() {
    let lab = lab_with_trial();
    let history = lab.answer(0, &["method", "history", "trial"]);
    let changes = history["changes"].as_array().unwrap();
    let what: Vec<&str> = changes
        .iter()
        .map(|change| change["what"].as_str().unwrap())
        .collect();
    assert_eq!(what.len(), 2, "{what:?}");
    assert_eq!(changes[1]["reason"], "tried on the bench");
    assert_eq!(changes[1]["by"], dyebook_testkit::BY);
    assert_eq!(changes[1]["at"], dyebook_testkit::NOW);
}

#[test]
fn a_misspelt_key_gets_the_nearest_right_one_with_its_line() {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    let mut draft = MethodDraft::new("trial", "1.0.0");
    let title = draft.document["title"].clone();
    draft = draft.without("/title").with("/titel", title);
    lab.write("draft.json", draft.text());
    let said = lab.ends_with(3, &["method", "check", "draft.json"]).err;
    assert!(
        said.contains("did you mean `title`?") && said.contains("(line "),
        "{said}"
    );
    let comma =
        MethodDraft::new("trial", "1.0.0").with("/developer/components/1/amount", json!("2,0"));
    lab.write("draft.json", comma.text());
    let said = lab.ends_with(3, &["method", "check", "draft.json"]).err;
    assert!(
        said.contains("/developer/components/1/amount") && said.contains("2,0"),
        "{said}"
    );
}

#[test]
fn mistakes_beyond_the_schema_are_found() {
    let wrong: &[(&str, &str, Value)] = &[
        (
            "range-reversed",
            "/references/0/expected_rf",
            json!({"low": 0.5, "high": 0.4}),
        ),
        ("dye-unknown", "/references/0/dye", json!("moon-dust")),
        ("dye-repeated", "/references/0/dye", json!("tartrazine")),
        (
            "assigned-outside-range",
            "/references/0/assigned_rf",
            json!(0.9),
        ),
    ];
    for (lint, pointer, value) in wrong {
        let lab = Lab::empty(PROGRAM);
        lab.done(&["library", "init"]);
        lab.write(
            "draft.json",
            MethodDraft::new("trial", "1.0.0")
                .with(pointer, value.clone())
                .text(),
        );
        let said = lab.run(&["method", "check", "draft.json"]);
        assert!([0, 3].contains(&said.code), "{said:?}");
        assert!(
            format!("{}{}", said.out, said.err).contains(lint),
            "{lint}: {said:?}"
        );
    }
}
