//! The reference library as a file: looked after, copied, restored, and refused in words.

use crate::PROGRAM;
use dyebook_testkit::{Lab, SheetCsv};
use std::path::Path;

/// Where SQLite's file format keeps these two numbers, big end first (sqlite.org/fileformat2.html,
/// 1.3 The Database Header).
const USER_VERSION: usize = 60;
const APPLICATION_ID: usize = 68;

fn with_number(path: &Path, at: usize, number: u32) {
    let mut bytes = std::fs::read(path).unwrap();
    bytes[at..at + 4].copy_from_slice(&number.to_be_bytes());
    std::fs::write(path, bytes).unwrap();
}

fn lab_with_sheet() -> Lab {
    let lab = Lab::ready(PROGRAM);
    lab.write("heron.csv", SheetCsv::clean("heron").text());
    lab.done(&["sheet", "import", "heron.csv"]);
    lab
}

#[test]
fn status_says_which_file_and_what_is_in_it() {
    let lab = lab_with_sheet();
    let status = lab.answer(0, &["library", "status"]);
    assert_eq!(status["library"], lab.library().to_str().unwrap());
    assert_eq!(
        (&status["dyes"], &status["sheets"]),
        (&14.into(), &1.into())
    );
    assert_eq!(status["methods"]["approved"], 1);
    assert_eq!(status["methods"]["draft"], 2);
    let text = lab.done(&["library", "status"]).out;
    assert!(text.contains(lab.library().to_str().unwrap()), "{text}");
    let nothing = Lab::empty(PROGRAM);
    let status = nothing.answer(0, &["library", "status"]);
    assert_eq!(status["exists"], false);
    assert!(!nothing.library().exists(), "looking must not make a file");
}

#[test]
fn an_existing_file_is_left_as_it_is() {
    let lab = Lab::ready(PROGRAM);
    let before = std::fs::read(lab.library()).unwrap();
    lab.ends_with(3, &["library", "init"]);
    assert_eq!(std::fs::read(lab.library()).unwrap(), before);
}

#[test]
fn a_backup_is_a_library_and_the_way_back() {
    let lab = lab_with_sheet();
    let at_backup = lab.head_of_history();
    lab.done(&["library", "backup", "copy.sqlite"]);
    lab.ends_with(3, &["library", "backup", "copy.sqlite"]);
    lab.write("teal.csv", SheetCsv::clean("teal").other_readings(5).text());
    lab.done(&["sheet", "import", "teal.csv"]);
    let restored = lab.answer(0, &["library", "restore", "copy.sqlite"]);
    let aside = restored["set_aside"].as_str().unwrap();
    assert!(
        Path::new(aside).exists(),
        "the library that was in use is kept"
    );
    let status = lab.answer(0, &["library", "status"]);
    assert_eq!(status["sheets"], 1);
    let records = lab.answer(0, &["history"]);
    let digests = records["changes"].as_array().unwrap();
    assert!(
        digests
            .iter()
            .any(|record| record["digest"] == at_backup["digest"])
    );
    assert_eq!(lab.answer(0, &["library", "verify"])["sound"], true);
    let set_aside = lab.answer(0, &["--library", aside, "library", "status"]);
    assert_eq!(set_aside["sheets"], 2);
}

#[test]
fn a_copy_that_is_not_as_recorded_is_not_restored() {
    let lab = lab_with_sheet();
    let head = lab.head_of_history();
    lab.write("text.sqlite", "no library");
    let said = lab.run(&["library", "restore", "text.sqlite"]);
    assert!([3, 4].contains(&said.code), "{said:?}");
    assert!(said.err.contains("text.sqlite"), "{said:?}");
    assert_eq!(lab.head_of_history(), head);
}

#[test]
fn a_changed_byte_is_found() {
    let lab = lab_with_sheet();
    lab.done(&["library", "backup", "copy.sqlite"]);
    let path = lab.path("copy.sqlite");
    let mut bytes = std::fs::read(&path).unwrap();
    // A title in a kept method, changed by hand in the file.
    let word = b"Food dyes on cellulose paper";
    // A page may also hold what stood there before, so every copy is changed.
    let places: Vec<usize> = (0..bytes.len() - word.len())
        .filter(|at| bytes[*at..].starts_with(word))
        .collect();
    assert!(!places.is_empty());
    for at in places {
        bytes[at] = b'G';
    }
    std::fs::write(&path, bytes).unwrap();
    let report = lab.answer(1, &["--library", "copy.sqlite", "library", "verify"]);
    assert_eq!(report["sound"], false);
    lab.answer(0, &["library", "verify"]);
}

#[test]
fn a_newer_file_and_another_program_s_file_are_refused_in_words() {
    let lab = Lab::ready(PROGRAM);
    for (name, at, number, id) in [
        ("newer.sqlite", USER_VERSION, 9999, "error[library.newer]"),
        (
            "foreign.sqlite",
            APPLICATION_ID,
            0x4142_4344,
            "error[library.foreign]",
        ),
    ] {
        lab.done(&["library", "backup", name]);
        with_number(&lab.path(name), at, number);
        let before = std::fs::read(lab.path(name)).unwrap();
        for command in [
            ["library", "status"],
            ["sheet", "list"],
            ["library", "verify"],
        ] {
            let said = lab
                .ends_with(4, &["--library", name, command[0], command[1]])
                .err;
            assert!(said.starts_with(id), "{said}");
            assert!(said.contains(name), "{said}");
        }
        assert_eq!(
            std::fs::read(lab.path(name)).unwrap(),
            before,
            "the file was touched"
        );
    }
}

#[test]
fn half_a_file_is_refused_in_words() {
    let lab = lab_with_sheet();
    lab.done(&["library", "backup", "copy.sqlite"]);
    let bytes = std::fs::read(lab.path("copy.sqlite")).unwrap();
    for length in [0, 50, 100, 4096, bytes.len() / 2] {
        lab.write("half.sqlite", &bytes[..length]);
        let said = lab.run(&["--library", "half.sqlite", "library", "verify"]);
        assert!([1, 4].contains(&said.code), "{length}: {said:?}");
        assert!(!said.err.contains("panicked"), "{length}: {said:?}");
    }
}

#[test]
fn the_history_names_who_and_why_and_is_in_order() {
    let lab = lab_with_sheet();
    let records = lab.answer(0, &["history"]);
    let records = records["changes"].as_array().unwrap();
    for (number, record) in (1..).zip(records) {
        assert_eq!(record["number"], number);
        assert_eq!(record["by"], dyebook_testkit::BY);
        assert_eq!(record["at"], dyebook_testkit::NOW);
    }
    let by_other = [
        "--by",
        "the other one",
        "method",
        "approve",
        "harrow-saline@1.1.0",
        "--reason",
        "r",
    ];
    lab.done(&by_other);
    assert_eq!(lab.head_of_history()["by"], "the other one");
}
