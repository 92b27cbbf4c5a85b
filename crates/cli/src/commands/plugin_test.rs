//! `plugin test`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_plugin_test::{Grade, Options, run};
use dyebook_workflows::Failure;
use serde_json::json;
use std::path::PathBuf;
use std::time::Duration;

/// Try a plug-in case by case, each in a worker of its own.
#[derive(Debug, clap::Args)]
pub(crate) struct PluginTest {
    /// The plug-in's folder
    path: PathBuf,
    /// What all chance comes from; the same seed tries the same things
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Only this case
    #[arg(long, value_name = "CASE")]
    only: Option<String>,
    /// How many seconds to try broken input
    #[arg(long, value_name = "SECONDS", default_value_t = 2)]
    fuzz: u64,
    /// Run a plug-in that nobody approved: in the kit's workers, this once
    #[arg(long)]
    allow_unapproved_here: bool,
}

impl PluginTest {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let options = Options {
            seed: self.seed,
            only: self.only,
            fuzz: Duration::from_secs(self.fuzz),
            allow_unapproved: self.allow_unapproved_here,
        };
        let report = run(&self.path, &options, &desk.plugin_settings()).map_err(|error| {
            let mut failure = Failure::refused(error.id(), error.to_string());
            failure.hints = error.hints();
            failure
        })?;
        let mut page = Page::default();
        page.line(format!(
            "{} {}  kit {}, seed {}, sandbox: {}",
            report.plugin, report.version, report.kit, report.seed, report.sandbox
        ));
        for case in &report.cases {
            let colon = if case.text.is_empty() { "" } else { ": " };
            page.line(format!(
                "  {:5}  {} {}  {}{colon}{}",
                grade(case.grade),
                case.part,
                case.component,
                case.case,
                case.text
            ));
        }
        page.line(if report.passed {
            "nothing failed"
        } else {
            "something failed: this plug-in should not be approved"
        });
        let passed = report.passed;
        Ok(Outcome::new(json!(report), page.text()).needing_person(!passed))
    }
}

fn grade(grade: Grade) -> &'static str {
    match grade {
        Grade::Pass => "pass",
        Grade::Skip => "skip",
        Grade::Note => "note",
        Grade::Warn => "warn",
        Grade::Fail => "fail",
        Grade::Crash => "crash",
    }
}
