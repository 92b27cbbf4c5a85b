//! Shell completions.

use crate::arguments::Program;
use crate::outcome::Outcome;
use clap::CommandFactory;
use serde_json::json;

/// Write shell completions.
#[derive(Debug, clap::Args)]
pub(crate) struct Completions {
    /// The shell
    shell: clap_complete::Shell,
}

impl Completions {
    pub(crate) fn run(self) -> Outcome {
        let mut script = Vec::new();
        clap_complete::generate(self.shell, &mut Program::command(), "dyebook", &mut script);
        let script = String::from_utf8_lossy(&script).into_owned();
        Outcome::new(
            json!({ "shell": self.shell.to_string(), "script": script }),
            script,
        )
    }
}
