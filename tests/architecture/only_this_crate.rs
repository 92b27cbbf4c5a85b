//! What only one crate may do.

use super::source::{Line, has_word, shipped};
use super::{DependencyKind, metadata};

/// Which of our crates name a dependency outside of their tests.
fn users_of(dependency: &str) -> Vec<String> {
    let metadata = metadata();
    let mut users: Vec<String> = metadata
        .workspace_packages()
        .iter()
        .filter(|package| {
            package
                .dependencies
                .iter()
                .any(|used| used.name == dependency && used.kind != DependencyKind::Development)
        })
        .map(|package| package.name.to_string())
        .collect();
    users.sort();
    users
}

/// Lines outside of the folders on which the code does this.
fn elsewhere(folders: &[&str], does: impl Fn(&str) -> bool) -> Vec<String> {
    let outside = |line: &&Line| !folders.iter().any(|folder| line.path.starts_with(folder));
    shipped()
        .iter()
        .filter(outside)
        .filter(|line| does(&line.code))
        .map(|line| format!("{}:{}: {}", line.path, line.number, line.code.trim()))
        .collect()
}

fn nowhere_else(folders: &[&str], does: impl Fn(&str) -> bool) {
    let found = elsewhere(folders, does);
    assert!(found.is_empty(), "only {folders:?} may do this: {found:#?}");
}

#[test]
fn sqlite_is_opened_by_the_library_only() {
    assert_eq!(users_of("rusqlite"), ["dyebook-library"]);
}

#[test]
fn sql_stands_in_the_library_only() {
    let verbs = [
        "SELECT ",
        "INSERT INTO",
        "UPDATE ",
        "DELETE FROM",
        "CREATE TABLE",
        "PRAGMA ",
    ];
    nowhere_else(&["crates/library/"], |code| {
        verbs.iter().any(|verb| code.contains(verb))
    });
    let migrations = crate::project::files_ending(&["crates", "plugins"], ".sql");
    assert!(!migrations.is_empty());
    assert!(
        migrations
            .iter()
            .all(|path| path.starts_with("crates/library/"))
    );
}

#[test]
fn the_validator_of_schemas_is_known_to_schemas_only() {
    assert_eq!(users_of("jsonschema"), ["dyebook-schemas"]);
}

#[test]
fn libraries_are_loaded_by_the_plug_in_host_only() {
    assert_eq!(users_of("libloading"), ["dyebook-plugin-host"]);
}

#[test]
fn unsafe_code_stays_at_the_border_to_plug_ins() {
    nowhere_else(
        &[
            "crates/plugin-host/",
            "crates/plugin/",
            "crates/plugin-abi/",
        ],
        |code| has_word(code, "unsafe"),
    );
}

#[test]
fn only_the_program_prints_reads_the_environment_exits_and_asks_the_clock() {
    let calls = [
        "println!",
        "eprintln!",
        "print!(",
        "eprint!(",
        "dbg!(",
        "std::env::",
        "env::var",
        "process::exit",
        "SystemTime::now",
        "Timestamp::now",
        "Zoned::now",
    ];
    // The worker is a program of its own: it leaves its folder and looks whether its surroundings
    // are as empty as they should be.
    let programs = ["crates/cli/", "crates/plugin-host/src/worker/"];
    nowhere_else(&programs, |code| {
        calls.iter().any(|call| code.contains(call))
    });
}

#[test]
fn nobody_opens_a_network_connection() {
    let names = [
        "TcpStream",
        "TcpListener",
        "UdpSocket",
        "std::net",
        "ToSocketAddrs",
    ];
    nowhere_else(&[], |code| names.iter().any(|name| has_word(code, name)));
}
