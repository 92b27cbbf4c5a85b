//! Sizes and places of files.

use crate::project;

/// What stands at the top, besides names that begin with a dot.
const TOP: &[&str] = &[
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "crates",
    "plugins",
    "references",
    "schemas",
    "tests",
];

const LONGEST: usize = 500;

#[test]
fn the_top_level_is_what_it_should_be() {
    let mut names = project::names_in(".");
    names.retain(|name| !name.starts_with('.') && name != "target");
    assert_eq!(names, TOP);
}

#[test]
fn no_source_file_is_longer_than_500_lines() {
    let long: Vec<String> = project::files_ending(&["crates", "plugins", "tests"], ".rs")
        .into_iter()
        .map(|path| (project::text(&path).lines().count(), path))
        .filter(|(lines, _)| *lines > LONGEST)
        .map(|(lines, path)| format!("{path}: {lines}"))
        .collect();
    assert!(long.is_empty(), "split these: {long:#?}");
}
