//! Manual pages.

use crate::arguments::Program;
use crate::outcome::Outcome;
use clap::CommandFactory;
use dyebook_workflows::Failure;
use serde_json::json;
use std::path::PathBuf;

/// Write manual pages.
#[derive(Debug, clap::Args)]
pub(crate) struct ManPages {
    /// The folder
    dir: PathBuf,
}

impl ManPages {
    pub(crate) fn run(self) -> Result<Outcome, Failure> {
        let failed = |error: std::io::Error| {
            Failure::refused(
                "file.not-writable",
                format!("`{}` can't be written: {error}", self.dir.display()),
            )
        };
        std::fs::create_dir_all(&self.dir).map_err(failed)?;
        clap_mangen::generate_to(Program::command(), &self.dir).map_err(failed)?;
        let pages = std::fs::read_dir(&self.dir).map_err(failed)?.count();
        Ok(Outcome::new(
            json!({ "directory": self.dir, "pages": pages }),
            format!("{pages} pages in {}\n", self.dir.display()),
        ))
    }
}
