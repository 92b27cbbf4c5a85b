//! Sessions at a terminal, as somebody would type them: `tests/cli/*.trycmd`.
//!
//! What a session shows is written anew with
//! `TRYCMD=overwrite cargo test -p dyebook --test workspace sessions`; read the difference.

use crate::{PROGRAM, commands, project};
use dyebook_testkit::{BY, NOW};
use std::collections::BTreeSet;

/// The lines of all sessions that call the program, without the `$`.
fn typed() -> Vec<String> {
    project::files_ending(&["tests/cli"], ".trycmd")
        .iter()
        .flat_map(|path| {
            let text = project::text(path);
            let lines = text.lines().filter_map(|line| line.strip_prefix("$ "));
            lines.map(str::to_owned).collect::<Vec<_>>()
        })
        .collect()
}

/// `trycmd` is content with a session in which nothing was run, so each one is looked at first.
#[test]
fn sessions_show_what_the_program_says() {
    let sessions = project::files_ending(&["tests/cli"], ".trycmd");
    assert!(
        sessions.len() >= 6,
        "only {} sessions were found",
        sessions.len()
    );
    for path in &sessions {
        let text = project::text(path);
        let typed = text.lines().filter(|line| line.starts_with("$ ")).count();
        let of_ours = text
            .lines()
            .filter(|line| line.starts_with("$ dyebook "))
            .count();
        assert!(
            typed > 0 && typed == of_ours,
            "{path} calls something else or nothing"
        );
        assert!(text.contains("```console"), "{path} holds no session");
        let beside = project::top().join(path).with_extension("out");
        assert!(
            beside.is_dir(),
            "{path} has no folder `.out`, so it would write into the project"
        );
    }
    let home = tempfile_home();
    let cases = trycmd::TestCases::new();
    cases
        .register_bin("dyebook", std::path::Path::new(PROGRAM))
        .env("HOME", home.folder().to_str().unwrap())
        .env("DYEBOOK_LIBRARY", "lab.sqlite")
        .env("DYEBOOK_BY", BY)
        .env("DYEBOOK_NOW", NOW)
        .env("DYEBOOK_PLUGIN_PATH", "")
        .env("COLUMNS", "100")
        .env("NO_COLOR", "1")
        .case(project::top().join("tests/cli/*.trycmd"))
        .run();
}

/// A home folder with nothing in it.
fn tempfile_home() -> dyebook_testkit::Lab {
    dyebook_testkit::Lab::empty(PROGRAM)
}

#[test]
fn every_command_has_a_session() {
    let called: BTreeSet<String> = typed()
        .iter()
        .filter_map(|line| line.strip_prefix("dyebook "))
        .filter(|line| !line.starts_with("--help"))
        .map(commands::named_in)
        .collect();
    let shown = |command: &str| called.contains(command);
    let without: BTreeSet<String> = commands::all()
        .into_iter()
        .filter(|command| !shown(command) && !commands::NO_SESSION_YET.contains(&command.as_str()))
        .collect();
    assert!(
        without.is_empty(),
        "add a session of these to tests/cli/: {without:?}"
    );
    for command in commands::NO_SESSION_YET {
        assert!(
            !shown(command),
            "`{command}` has a session; take it out of NO_SESSION_YET"
        );
    }
}

#[test]
fn sessions_call_commands_that_are_there() {
    for line in typed() {
        let called = line.strip_prefix("dyebook ").unwrap();
        if !called.starts_with("--help") {
            commands::named_in(called);
        }
    }
}
