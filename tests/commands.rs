//! Which commands there are.

use crate::PROGRAM;
use dyebook_testkit::Lab;
use std::collections::BTreeSet;

/// Commands that are there but have no session in `tests/cli/` yet. Empty when the work is done.
pub(crate) const NO_SESSION_YET: &[&str] = &[];

/// Commands that are there but whose answer is not held against a schema yet. Empty when the work
/// is done.
pub(crate) const NO_ANSWER_YET: &[&str] = &[];

/// Promised commands that the program does not have yet. Empty when the work is done.
const TO_COME: &[&str] = &[];

/// Every promised command.
const PROMISED: &[&str] = &[
    "completions",
    "demo",
    "dye add",
    "dye list",
    "dye show",
    "history",
    "identify",
    "layout",
    "library backup",
    "library export",
    "library import",
    "library init",
    "library restore",
    "library status",
    "library verify",
    "man-pages",
    "method add",
    "method approve",
    "method check",
    "method diff",
    "method history",
    "method list",
    "method show",
    "method withdraw",
    "reference chart",
    "reference establish",
    "reference show",
    "reference verify",
    "report",
    "sheet amend",
    "sheet import",
    "sheet list",
    "sheet show",
    "sheet template",
    "sheet truth",
    "solvent compare",
    "solvent plan",
    "solvent predict",
    "solvent recipe",
    "strategy compare",
    "strategy list",
    "suitability",
];

/// Every command, as typed: `sheet import`. Read off the manual pages, which the program makes of
/// the same description as its command line.
pub(crate) fn all() -> BTreeSet<String> {
    static ALL: std::sync::OnceLock<BTreeSet<String>> = std::sync::OnceLock::new();
    ALL.get_or_init(read_pages).clone()
}

/// The command that a line calls, options before it left out.
pub(crate) fn named_in(line: &str) -> String {
    let mut words: Vec<&str> = line.split(' ').collect();
    if words.first() == Some(&"--library") {
        words.drain(..2);
    }
    let all = all();
    (1..=words.len().min(2))
        .map(|count| words[..count].join(" "))
        .find(|command| all.contains(command))
        .unwrap_or_else(|| panic!("`{line}` calls no command"))
}

fn read_pages() -> BTreeSet<String> {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["man-pages", "man"]);
    let names: BTreeSet<String> = std::fs::read_dir(lab.path("man"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .filter_map(|name| Some(name.strip_suffix(".1")?.to_owned()))
        .collect();
    let has_commands = |name: &String| {
        names
            .iter()
            .any(|other| other.starts_with(&format!("{name}-")))
    };
    names
        .iter()
        .filter(|name| !has_commands(name))
        .filter_map(|name| name.strip_prefix("dyebook-"))
        // Only the names of commands that stand alone have a hyphen of their own.
        .map(|name| match name {
            "man-pages" => name.to_owned(),
            _ => name.replace('-', " "),
        })
        .collect()
}

#[test]
fn the_program_has_the_promised_commands() {
    let there = all();
    for command in PROMISED {
        assert_ne!(
            there.contains(*command),
            TO_COME.contains(command),
            "`{command}` is promised; take it out of TO_COME when it is there, not before"
        );
    }
}
