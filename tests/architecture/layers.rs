//! Each crate uses only crates below it.

use super::{metadata, own_dependencies};

/// Crates from the bottom up; crates of one level don't use each other.
const LEVELS: &[&[&str]] = &[
    &[
        "dyebook-documents",
        "dyebook-statistics",
        "dyebook-plugin-abi",
    ],
    &["dyebook-plugin"],
    &["dyebook-schemas"],
    &[
        "dyebook-methods",
        "dyebook-checks",
        "dyebook-library",
        "dyebook-report",
        "dyebook-plugin-host",
    ],
    &["dyebook-workflows", "dyebook-plugin-test"],
    &["dyebook"],
];

/// Beside the levels: only tests use it.
const TESTKIT: &str = "dyebook-testkit";

/// What a plug-in may use of ours, besides the plug-in that it wraps.
const OF_PLUGINS: &[&str] = &["dyebook-plugin", "dyebook-statistics"];

fn level(name: &str) -> Option<usize> {
    LEVELS.iter().position(|names| names.contains(&name))
}

#[test]
fn crates_use_only_crates_below_them() {
    let metadata = metadata();
    let mut wrong = Vec::new();
    for package in metadata.workspace_packages() {
        let name = package.name.as_str();
        let path = package.manifest_path.as_str();
        if path.contains("/plugins/") || path.contains("/tests/") || name == TESTKIT {
            continue;
        }
        let Some(own) = level(name) else {
            wrong.push(format!(
                "{name} stands in no level; give it a place in LEVELS"
            ));
            continue;
        };
        for used in own_dependencies(&metadata, package) {
            // Plug-ins stand beside the host: only what brings them along may name them.
            let allowed = level(used).map_or(own >= 4 && used != TESTKIT, |other| other < own);
            if !allowed {
                wrong.push(format!("{name} must not use {used}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn plug_ins_use_what_a_plug_in_author_gets() {
    let metadata = metadata();
    let mut seen = 0;
    for package in metadata.workspace_packages() {
        if !package.manifest_path.as_str().contains("/plugins/") {
            continue;
        }
        seen += 1;
        for used in own_dependencies(&metadata, package) {
            let wraps = package.name.as_str().starts_with(used);
            assert!(
                OF_PLUGINS.contains(&used) || wraps,
                "{} must not use {used}",
                package.name
            );
        }
    }
    assert!(seen >= 4, "only {seen} plug-ins were seen");
}

#[test]
fn every_level_names_crates_that_are_there() {
    let metadata = metadata();
    let there: Vec<&str> = metadata
        .workspace_packages()
        .iter()
        .map(|package| package.name.as_str())
        .collect();
    for name in LEVELS.iter().copied().flatten() {
        assert!(
            there.contains(name),
            "{name} is gone; take it out of LEVELS"
        );
    }
}
