//! Help, completions and manual pages of every command.

use crate::{PROGRAM, commands};
use dyebook_testkit::Lab;

#[test]
fn every_command_has_help_that_shows_how_to_call_it() {
    let lab = Lab::empty(PROGRAM);
    for command in commands::all() {
        let mut arguments: Vec<&str> = command.split(' ').collect();
        arguments.push("--help");
        let said = lab.done(&arguments);
        assert!(
            said.out.contains(&format!("Usage: dyebook {command}")),
            "{}",
            said.out
        );
        let first = said.out.lines().next().unwrap();
        assert!(!first.is_empty(), "`{command}` says nothing about itself");
        assert_eq!(said.err, "");
    }
}

#[test]
fn the_help_names_the_global_options_and_the_version_is_told() {
    let lab = Lab::empty(PROGRAM);
    let help = lab.done(&["--help"]).out;
    for option in ["--library", "--json", "--quiet", "--by"] {
        assert!(help.contains(option), "{option}");
    }
    assert!(lab.done(&["--version"]).out.starts_with("dyebook "));
}

#[test]
fn completions_of_the_usual_shells_know_every_command() {
    let lab = Lab::empty(PROGRAM);
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = lab.done(&["completions", shell]).out;
        for command in commands::all() {
            let last = command.rsplit(' ').next().unwrap();
            assert!(script.contains(last), "{shell} does not know `{command}`");
        }
    }
    lab.ends_with(2, &["completions", "abacus"]);
}

#[test]
fn every_command_has_a_manual_page() {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["man-pages", "man"]);
    for command in commands::all() {
        let page = format!("man/dyebook-{}.1", command.replace(' ', "-"));
        let text = std::fs::read_to_string(lab.path(&page)).unwrap();
        assert!(text.contains(".SH SYNOPSIS"), "{page}");
    }
}
