//! Corrections are records of their own; what the samples hold is recorded beside them.

use crate::PROGRAM;
use dyebook_testkit::{Lab, SheetCsv};

fn imported(lab: &Lab) -> String {
    lab.write("heron.csv", SheetCsv::clean("heron").text());
    let taken = lab.answer(0, &["sheet", "import", "heron.csv"]);
    taken["sheets"][0]["id"].as_str().unwrap().to_owned()
}

#[test]
fn a_correction_keeps_the_original() {
    let lab = Lab::ready(PROGRAM);
    let id = imported(&lab);
    let file = lab.answer(0, &["sheet", "show", &id])["file"].clone();
    let place = ["--paper", "heron-2", "--lane", "2", "--spot", "1"];
    let mut arguments = vec!["sheet", "amend", &id];
    arguments.extend(place);
    arguments.extend(["--set", "distance=4.83", "--reason", "the 3 was a 4"]);
    let amended = lab.answer(0, &arguments);
    assert_eq!(amended["amendment"]["from"], "3.21");
    assert_eq!(amended["amendment"]["to"], "4.83");

    let shown = lab.answer(0, &["sheet", "show", &id]);
    assert_eq!(shown["file"], file, "the file as handed in is kept");
    let correction = &shown["amendments"][0];
    assert_eq!(correction["by"], dyebook_testkit::BY);
    assert_eq!(correction["reason"], "the 3 was a 4");
    assert_eq!(correction["from"], "3.21");

    let found = lab.answer(0, &["identify", &id]);
    let identification = &found["identifications"][0];
    assert_eq!(identification["amended"], true);
    let spot = &identification["lanes"][4]["spots"][0];
    assert!(
        (spot["rf"].as_f64().unwrap() - 4.83 / 7.94).abs() < 1e-12,
        "{spot}"
    );

    // What was handed in first is still known: importing it again is no resubmission.
    let again = lab.answer(0, &["sheet", "import", "heron.csv"]);
    assert_eq!(again["sheets"][0]["new"], false);
    assert_eq!(lab.answer(0, &["library", "verify"])["sound"], true);
}

#[test]
fn a_correction_needs_a_reason_and_a_place_and_a_change() {
    let lab = Lab::ready(PROGRAM);
    let id = imported(&lab);
    let head = lab.head_of_history();
    let amend = |code: i32, rest: &[&str]| {
        let mut arguments = vec![
            "sheet",
            "amend",
            id.as_str(),
            "--paper",
            "heron-2",
            "--lane",
            "2",
        ];
        arguments.extend(rest);
        lab.ends_with(code, &arguments)
    };
    amend(2, &["--spot", "1", "--set", "distance=4.0"]);
    amend(
        3,
        &["--spot", "1", "--set", "distance=4.0", "--reason", " "],
    );
    amend(
        3,
        &["--spot", "9", "--set", "distance=4.0", "--reason", "r"],
    );
    amend(
        3,
        &["--spot", "1", "--set", "distance=3.21", "--reason", "r"],
    );
    amend(
        3,
        &["--spot", "1", "--set", "distance=far", "--reason", "r"],
    );
    amend(3, &["--spot", "1", "--set", "group=teal", "--reason", "r"]);
    amend(3, &["--set", "distance=4.0", "--reason", "r"]);
    assert_eq!(lab.head_of_history(), head);
}

#[test]
fn what_samples_hold_is_recorded_once_and_changed_with_a_reason() {
    let lab = Lab::ready(PROGRAM);
    imported(&lab);
    let header = "sheet,paper,lane,dyes\n";
    lab.write(
        "truth.csv",
        format!("{header}heron,heron-2,1,Yellow 5+E133\nheron,heron-2,2,\n"),
    );
    let first = lab.answer(0, &["sheet", "truth", "truth.csv"]);
    assert_eq!((&first["lanes"], &first["new"]), (&2.into(), &2.into()));
    let head = lab.head_of_history();
    assert_eq!(lab.answer(0, &["sheet", "truth", "truth.csv"])["new"], 0);
    assert_eq!(lab.head_of_history(), head);
    lab.write("other.csv", format!("{header}heron,heron-2,1,Red 40\n"));
    let changed = lab.answer(
        0,
        &["sheet", "truth", "other.csv", "--reason", "wrong bottle"],
    );
    assert_eq!(changed["new"], 1);
    let record = lab.head_of_history();
    assert_eq!(record["reason"], "wrong bottle");
    assert_ne!(record["before"], record["after"]);
    lab.write(
        "unknown.csv",
        format!("{header}heron,heron-2,1,Moon Dust\n"),
    );
    let said = lab.ends_with(3, &["sheet", "truth", "unknown.csv"]).err;
    assert!(said.contains("Moon Dust"), "{said}");
}

#[test]
fn a_blank_sheet_filled_in_is_taken() {
    let lab = Lab::ready(PROGRAM);
    let said = lab.done(&[
        "sheet",
        "template",
        "harrow-saline@^1",
        "--out",
        "blank.csv",
    ]);
    assert!(said.out.contains("harrow-saline@1.0.0"), "{}", said.out);
    let blank = std::fs::read_to_string(lab.path("blank.csv")).unwrap();
    let header: Vec<&str> = blank
        .lines()
        .find(|line| !line.starts_with('#'))
        .unwrap()
        .split(',')
        .collect();
    for column in [
        "group",
        "method",
        "paper",
        "lane",
        "label",
        "distance_cm",
        "front_cm",
    ] {
        assert!(header.contains(&column), "{blank}");
    }
    let filled: String = blank
        .lines()
        .filter(|line| {
            line.starts_with('#')
                || line.split(',').any(|field| field == "group")
                || line.contains("harrow-saline@")
        })
        .map(|line| fill(line, &header) + "\n")
        .collect();
    lab.write("filled.csv", filled);
    let taken = lab.answer(0, &["sheet", "import", "filled.csv"]);
    assert_eq!(taken["sheets"][0]["group"], "heron");
}

/// Writes what a group writes: its name, and a distance and a front in every row.
fn fill(line: &str, header: &[&str]) -> String {
    if line.starts_with('#') || line.split(',').any(|field| field == "group") {
        return line.to_owned();
    }
    let mut fields: Vec<&str> = line.split(',').collect();
    for (field, column) in fields.iter_mut().zip(header) {
        if field.is_empty() {
            *field = match *column {
                "group" => "heron",
                "section" => "tue-2",
                "date" => "2026-09-08",
                "label" => "red sweet",
                "distance_cm" => "3.2",
                "front_cm" => "8.0",
                _ => "",
            };
        }
    }
    fields.join(",")
}
