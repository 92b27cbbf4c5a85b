//! `sheet template`

use crate::desk::Desk;
use crate::outcome::Outcome;
use dyebook_workflows::{Failure, resolve_method, sheet_template, write_file};
use serde_json::json;
use std::path::PathBuf;

/// A blank sheet.
#[derive(Debug, clap::Args)]
pub(crate) struct SheetTemplate {
    /// `id@version` or `id@requirement`
    #[arg(value_name = "REF")]
    reference: String,
    /// Write it here instead of standard output
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

impl SheetTemplate {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let kept = resolve_method(&library, &self.reference)?;
        let csv = sheet_template(&kept.method()?, &library.dye_register()?)?;
        let text = match &self.out {
            Some(path) => {
                write_file(path, &csv)?;
                format!("blank sheet for {} in {}\n", kept.name(), path.display())
            }
            None => csv.clone(),
        };
        Ok(Outcome::new(
            json!({
                "method": { "id": kept.id, "version": kept.version, "digest": kept.digest },
                "file": self.out, "csv": csv,
            }),
            text,
        ))
    }
}
