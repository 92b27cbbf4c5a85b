//! The one place that prints.

use crate::outcome::Outcome;
use crate::progress::STOPPED;
use dyebook_workflows::{Failure, FailureClass};
use serde_json::{Value, json};
use std::io::Write;
use std::process::ExitCode;

/// Something needs a person.
const NEEDS_PERSON: u8 = 1;
/// A bad command line.
pub(crate) const USAGE: u8 = 2;
/// What was given is refused.
const REFUSED: u8 = 3;
/// The reference library can't be used.
const LIBRARY: u8 = 4;
/// A plug-in failed.
const PLUG_IN: u8 = 5;
/// A mistake of this program.
pub(crate) const BUG: u8 = 70;

/// Shows what a command did and says how it ended.
pub(crate) fn outcome(result: Result<Outcome, Failure>, as_json: bool, quiet: bool) -> ExitCode {
    match result {
        Ok(outcome) => {
            if as_json {
                print_json(&outcome.json);
            } else if !quiet {
                print(&outcome.text);
            }
            ExitCode::from(if outcome.needs_person {
                NEEDS_PERSON
            } else {
                0
            })
        }
        Err(failure) => {
            if as_json {
                print_json(&json!({ "error": failure }));
            }
            complain(&failure_text(&failure));
            ExitCode::from(match failure.class {
                FailureClass::Refused => REFUSED,
                FailureClass::Library => LIBRARY,
                FailureClass::PlugIn => PLUG_IN,
                FailureClass::Stopped => STOPPED,
                FailureClass::Bug => BUG,
            })
        }
    }
}

/// A bad command line as the one JSON document of `--json`.
pub(crate) fn usage_as_json(text: &str) {
    let mut lines = text
        .lines()
        .map(|line| line.trim_start_matches("error: ").trim());
    let message = lines.next().unwrap_or_default();
    let details: Vec<&str> = lines.filter(|line| !line.is_empty()).collect();
    print_json(&json!({
        "error": { "id": "command-line.not-understood", "message": message, "details": details, "hints": [] }
    }));
}

/// First what is wrong, then the places, then what to do.
fn failure_text(failure: &Failure) -> String {
    let mut text = format!("error[{}]: {}\n", failure.id, failure.message);
    for detail in &failure.details {
        text.push_str("  ");
        text.push_str(detail);
        text.push('\n');
    }
    for hint in failure.hints.iter().take(2) {
        text.push_str("  hint: ");
        text.push_str(hint);
        text.push('\n');
    }
    text
}

fn print_json(value: &Value) {
    print(&format!("{value:#}\n"));
}

/// Data goes to standard output. A reader that has seen enough closes the pipe; that is no error.
pub(crate) fn print(text: &str) {
    let mut out = std::io::stdout().lock();
    let _closed = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Messages go to standard error.
pub(crate) fn complain(text: &str) {
    let _closed = std::io::stderr().lock().write_all(text.as_bytes());
}
