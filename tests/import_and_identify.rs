//! Sheets taken in and identified in one go: the same answers as one after the other.

use crate::PROGRAM;
use crate::answers::hold_against_schema;
use dyebook_testkit::large_term::LargeTerm;
use dyebook_testkit::{Lab, SheetCsv};
use serde_json::Value;
use std::collections::BTreeMap;

/// A lab with the files of a term over several lots, a messy sheet among them.
fn with_term() -> (Lab, Vec<String>) {
    let lab = Lab::ready(PROGRAM);
    let approve = ["method", "approve", "harrow-saline@1.1.0"];
    lab.done(&[&approve[..], &["--reason", "for a test"]].concat());
    let mut files = Vec::new();
    for file in LargeTerm::new(3_500, 5) {
        lab.write(&file.name, &file.text);
        files.push(file.name);
    }
    assert!(files.len() > 8, "all files are in memory at once");
    let messy = SheetCsv::clean("coot").spot("c-1", "sample", 1, "sample 1", 33.0, 8.0, "purple");
    lab.write("messy.csv", messy.text());
    files.insert(2, "messy.csv".to_owned());
    (lab, files)
}

fn run(lab: &Lab, words: &[&str], files: &[String]) -> Value {
    let files = files.iter().map(String::as_str);
    let words: Vec<&str> = words.iter().copied().chain(files).collect();
    lab.answer(1, &words)
}

fn by_sheet(answer: &Value) -> BTreeMap<String, Value> {
    let all = answer["identifications"].as_array().unwrap();
    all.iter()
        .map(|one| (one["sheet"].as_str().unwrap().to_owned(), one.clone()))
        .collect()
}

fn counts(lab: &Lab) -> Value {
    let status = lab.answer(0, &["library", "status"]);
    ["sheets", "identifications", "changes"]
        .iter()
        .map(|of| status[*of].clone())
        .collect()
}

#[test]
fn identities_found_while_taking_in_are_those_found_later() {
    let (together, files) = with_term();
    let taken = run(&together, &["sheet", "import", "--identify"], &files);
    hold_against_schema("answer-sheet-import", &taken);
    let (apart, files) = with_term();
    let alone = run(&apart, &["sheet", "import"], &files);
    assert_eq!(alone["identifications"], Value::Null);
    assert_eq!(alone["sheets"], taken["sheets"]);
    let found = by_sheet(&apart.answer(1, &["identify", "--all"]));
    assert!(found.len() > 150, "{} sheets", found.len());
    assert_eq!(by_sheet(&taken), found);

    // They are stored: asked for again they are the same, and nothing is added.
    let before = counts(&together);
    assert_eq!(before, counts(&apart));
    assert_eq!(by_sheet(&together.answer(1, &["identify", "--all"])), found);
    assert_eq!(counts(&together), before);
    assert_eq!(together.answer(0, &["library", "verify"])["sound"], true);
}

#[test]
fn only_what_is_new_is_identified() {
    let lab = Lab::ready(PROGRAM);
    lab.write("heron.csv", SheetCsv::clean("heron").text());
    let import = ["sheet", "import", "heron.csv", "--identify"];
    let first = lab.answer(0, &import);
    assert_eq!(first["identifications"][0]["sheet_revision"], 1);
    assert_eq!(
        lab.answer(0, &import)["identifications"],
        Value::Array(vec![])
    );
    let more = SheetCsv::clean("heron").spot("heron-2", "sample", 6, "sample 4", 3.3, 8.0, "red");
    lab.write("heron.csv", more.text());
    let replace = ["--replace", "--reason", "read again"];
    let again = lab.answer(0, &[&import[..], &replace].concat());
    assert_eq!(again["identifications"][0]["sheet_revision"], 2);
    let range = ["--strategy", "range"];
    lab.write("teal.csv", SheetCsv::clean("teal").text());
    let teal = ["sheet", "import", "teal.csv", "--identify"];
    // Two groups with the same readings: the checks stop both, and the identities are found.
    let other = lab.answer(1, &[&teal[..], &range].concat());
    assert_eq!(other["identifications"][0]["strategy"]["id"], "range");
}

#[test]
fn without_a_strategy_nothing_is_taken_in() {
    let lab = Lab::ready(PROGRAM);
    lab.write("heron.csv", SheetCsv::clean("heron").text());
    let words = [
        "sheet",
        "import",
        "heron.csv",
        "--identify",
        "--strategy",
        "gone",
    ];
    let error = lab.answer(3, &words);
    assert_eq!(error["error"]["id"], "plugin.not_found");
    assert_eq!(counts(&lab)[0], 0);
    // A strategy is no use without the wish to identify.
    let words = ["sheet", "import", "heron.csv", "--strategy", "range"];
    lab.ends_with(2, &words);
}
