//! Words that mean something else to most readers, and open ends.

use super::source::has_word;
use crate::project;

/// Words of other trades, each put together from parts so that this file does not hold them.
fn avoided() -> Vec<String> {
    [
        &["h", "it"][..],
        &["h", "its"],
        &["h", "it list"],
        &["match", " factor"],
        &["score", " out of 100"],
        &["tra", "ck"],
        &["tra", "cks"],
        &["peak", " table"],
        &["sequ", "ence"],
        &["sequ", "ences"],
        &["sample", " set"],
        &["note", "book"],
        &["result", " set"],
        &["processing", " method"],
        &["grade", "book"],
        &["rub", "ric"],
        &["develop", "ers of plug-ins"],
    ]
    .iter()
    .map(|parts| parts.concat())
    .collect()
}

/// Cargo's own word for a project of several crates, in the places where cargo asks for it.
fn without_cargo(line: &str) -> String {
    let word = ["work", "space"].concat();
    let mut line = line.to_owned();
    for (before, after) in [
        ("[", "]"),
        ("[", "."),
        ("--", ""),
        ("--test ", ""),
        (".", ""),
        ("", " = true"),
        ("name = \"", "\""),
        ("_", ""),
        ("", "_packages"),
    ] {
        line = line.replace(&format!("{before}{word}{after}"), "");
    }
    line
}

fn texts() -> Vec<String> {
    project::files_below(".")
        .into_iter()
        .map(|path| path.trim_start_matches("./").to_owned())
        .filter(|path| path != "Cargo.lock")
        .collect()
}

#[test]
fn words_of_other_trades_stand_nowhere() {
    let mut avoided = avoided();
    avoided.push(["work", "space"].concat());
    let mut found = Vec::new();
    for path in texts() {
        let Ok(text) = std::fs::read_to_string(project::top().join(&path)) else {
            continue;
        };
        for (number, line) in (1..).zip(text.lines()) {
            let lower = without_cargo(&line.to_lowercase());
            for word in avoided.iter().filter(|word| has_word(&lower, word)) {
                found.push(format!("{path}:{number}: `{word}`"));
            }
        }
    }
    assert!(
        found.is_empty(),
        "use the words of DEVELOPERS.md: {found:#?}"
    );
}

#[test]
fn nothing_is_left_open_and_no_test_is_switched_off() {
    let open = [
        ["to", "do!("].concat(),
        ["unimpl", "emented!("].concat(),
        ["#[ig", "nore"].concat(),
        ["TO", "DO"].concat(),
        ["FIX", "ME"].concat(),
        ["XX", "X"].concat(),
    ];
    let mut found = Vec::new();
    for path in project::files_ending(&["crates", "plugins", "tests"], ".rs") {
        for (number, line) in (1..).zip(project::text(&path).lines()) {
            if open.iter().any(|mark| line.contains(mark)) {
                found.push(format!("{path}:{number}: {}", line.trim()));
            }
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}
