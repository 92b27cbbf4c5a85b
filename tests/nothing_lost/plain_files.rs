//! Everything in plain files, readable without the program, and nothing outside their folder.

use crate::PROGRAM;
use dyebook_testkit::{Lab, SheetCsv};
use serde_json::Value;
use std::path::{Path, PathBuf};

fn all_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(all_files(&path));
        } else {
            files.push(path);
        }
    }
    files
}

fn lab() -> Lab {
    let lab = Lab::ready(PROGRAM);
    let mut sheet = SheetCsv::clean("../../heron");
    // As it stands in the file, quotation marks doubled.
    sheet.section = "\"..\\Ω \"\"quoted\"\", and more\"".into();
    lab.write("-..%2fheron, first.csv", sheet.text());
    lab.done(&["sheet", "import", "./-..%2fheron, first.csv"]);
    lab.done(&["identify", "--all"]);
    lab
}

#[test]
fn everything_is_there_in_csv_and_json() {
    let lab = lab();
    let answer = lab.answer(0, &["library", "export", "--plain", "plain"]);
    let plain = lab.path("plain");
    let named: Vec<PathBuf> = answer["files"]
        .as_array()
        .unwrap()
        .iter()
        .map(|name| plain.join(name.as_str().unwrap()))
        .collect();
    let (mut found, mut expected) = (all_files(&plain), named);
    found.sort();
    expected.sort();
    assert_eq!(found, expected);
    let status = lab.answer(0, &["library", "status"]);
    let lines = |name: &str| {
        let text = std::fs::read_to_string(plain.join(name)).unwrap();
        csv_rows(&text) as u64 - 1
    };
    assert_eq!(Some(lines("history.csv")), status["changes"].as_u64());
    assert_eq!(Some(lines("dyes.csv")), status["dyes"].as_u64());
    assert_eq!(lines("sheets.csv"), 1);
    assert_eq!(lines("identifications.csv"), 1);
    let readme = std::fs::read_to_string(plain.join("README.md")).unwrap();
    for name in ["methods.csv", "handed-in/", "history.csv"] {
        assert!(readme.contains(name));
    }
    let handed = std::fs::read_dir(plain.join("handed-in"))
        .unwrap()
        .next()
        .unwrap()
        .unwrap();
    let original = std::fs::read(lab.path("-..%2fheron, first.csv")).unwrap();
    assert_eq!(
        std::fs::read(handed.path()).unwrap(),
        original,
        "byte by byte as handed in"
    );
    let method = std::fs::read(plain.join("methods/harrow-saline@1.0.0.json")).unwrap();
    let method: Value = serde_json::from_slice(&method).unwrap();
    assert_eq!(method["id"], "harrow-saline");
}

/// Records of a CSV text, quoted line ends counted as none.
fn csv_rows(text: &str) -> usize {
    let mut quoted = false;
    text.chars()
        .filter(|c| {
            quoted ^= *c == '"';
            *c == '\n' && !quoted
        })
        .count()
}

#[test]
fn names_from_inside_the_library_stay_in_the_folder() {
    let lab = lab();
    lab.done(&["library", "export", "--plain", "plain"]);
    for path in all_files(&lab.path("plain")) {
        let name = path.file_name().unwrap().to_str().unwrap();
        let safe = |c: char| c.is_ascii_alphanumeric() || "-_@.".contains(c);
        assert!(name.chars().all(safe) && !name.starts_with('.'), "{name}");
    }
    let mut outside: Vec<String> = std::fs::read_dir(lab.folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    outside.sort();
    assert_eq!(outside, ["-..%2fheron, first.csv", "lab.sqlite", "plain"]);
}

#[test]
fn a_folder_that_holds_something_is_left_alone() {
    let lab = lab();
    std::fs::create_dir(lab.path("mine")).unwrap();
    lab.done(&["library", "export", "--plain", "mine"]);
    let before = all_files(&lab.path("mine")).len();
    let said = lab.ends_with(3, &["library", "export", "--plain", "mine"]);
    assert!(said.err.starts_with("error[file.exists]"), "{said:?}");
    assert_eq!(all_files(&lab.path("mine")).len(), before);
}
