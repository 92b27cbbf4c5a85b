//! `dye add`

use crate::desk::Desk;
use crate::outcome::Outcome;
use dyebook_workflows::{Failure, add_dye, read_text};
use serde_json::json;
use std::path::PathBuf;

/// Add or change a dye.
#[derive(Debug, clap::Args)]
pub(crate) struct DyeAdd {
    /// The dye document, JSON
    file: PathBuf,
    /// Why, for the history
    #[arg(long, value_name = "TEXT")]
    reason: Option<String>,
}

impl DyeAdd {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let text = read_text(&self.file)?;
        let mut library = desk.open()?;
        let name = self.file.display().to_string();
        let added = add_dye(
            &mut library,
            &name,
            &text,
            self.reason.as_deref(),
            &desk.stamp(),
        )?;
        let said = if added.new {
            "kept"
        } else {
            "was kept before, nothing changed"
        };
        Ok(Outcome::new(
            json!({ "dye": added.id, "digest": added.digest, "new": added.new }),
            format!("dye {} {said}\n", added.id),
        ))
    }
}
