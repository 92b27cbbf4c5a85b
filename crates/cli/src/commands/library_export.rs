//! `library export`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_documents::{counted, digest_bytes};
use dyebook_workflows::{Failure, export_bundle, export_plain, write_file};
use serde_json::json;
use std::path::{Path, PathBuf};

/// Pack method versions, or write everything in plain files.
#[derive(Debug, clap::Args)]
pub(crate) struct LibraryExport {
    /// The bundle to write, one JSON file that reads without this program
    #[arg(required_unless_present = "plain")]
    file: Option<PathBuf>,
    /// Only the versions of this method [default: all versions that are or were in use]
    #[arg(long = "method", value_name = "ID")]
    methods: Vec<String>,
    /// Instead of a bundle, write everything as CSV and JSON files into this folder
    #[arg(long, value_name = "DIR", conflicts_with_all = ["file", "methods"])]
    plain: Option<PathBuf>,
}

impl LibraryExport {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        match (self.plain, self.file) {
            (Some(folder), _) => plain(desk, &folder),
            (None, Some(file)) => bundle(desk, &file, &self.methods),
            // The command line asks for one of the two.
            (None, None) => Err(Failure::refused("export.no-file", "no file was named")),
        }
    }
}

fn plain(desk: &Desk, folder: &Path) -> Result<Outcome, Failure> {
    let written = export_plain(&desk.open()?, folder, &desk.stamp())?;
    let text = format!(
        "wrote {} into {}; begin with README.md\n",
        counted(written.files.len(), "file"),
        folder.display()
    );
    Ok(Outcome::new(
        json!({ "folder": folder, "files": written.files }),
        text,
    ))
}

fn bundle(desk: &Desk, file: &Path, methods: &[String]) -> Result<Outcome, Failure> {
    if file.exists() {
        return Err(Failure::refused(
            "file.exists",
            format!("`{}` exists already and is left as it is", file.display()),
        ));
    }
    let exported = export_bundle(&desk.open()?, methods, &desk.stamp())?;
    write_file(file, &exported.text)?;
    let sha256 = digest_bytes(exported.text.as_bytes());
    let mut page = Page::default();
    page.line(format!(
        "packed {}, {} and {} into {}",
        counted(exported.methods.len(), "method version"),
        counted(exported.dyes.len(), "dye"),
        counted(exported.sheets, "sheet revision"),
        file.display()
    ));
    page.line(format!("SHA-256 {sha256}; send it along by another way"));
    let methods: Vec<_> = exported
        .methods
        .iter()
        .map(|m| json!({ "id": m.id, "version": m.version, "digest": m.digest }))
        .collect();
    Ok(Outcome::new(
        json!({
            "bundle": file, "sha256": sha256, "methods": methods,
            "dyes": exported.dyes, "sheets": exported.sheets,
        }),
        page.text(),
    ))
}
