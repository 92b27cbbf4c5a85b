//! A file as far as it can be made ready without the library: read, grouped, checked, digested.

use crate::failure::Failure;
use crate::group_rows::group_rows;
use crate::import_report::{FileReport, ImporterStamp};
use crate::sheet_files::{HandedIn, ReadFile};
use crate::sheet_id::sheet_id;
use dyebook_documents::{Digest, Sheet, digest_bytes};
use dyebook_library::content_digest;
use dyebook_plugin::importer::Problem;
use dyebook_schemas::{catalogue, check_value};

/// A file whose sheets are ready to be kept.
#[derive(Debug)]
pub(crate) struct PreparedFile {
    pub(crate) bytes: Vec<u8>,
    pub(crate) report: FileReport,
    pub(crate) sheets: Vec<PreparedSheet>,
}

/// A sheet ready to be kept.
#[derive(Debug)]
pub(crate) struct PreparedSheet {
    pub(crate) id: String,
    pub(crate) sheet: Sheet,
    /// The sheet as JSON.
    pub(crate) document: String,
    pub(crate) digest: Digest,
}

/// Makes a file ready.
///
/// # Errors
/// Values that can't be understood, each with its line.
pub(crate) fn prepare(handed: HandedIn, read: &ReadFile) -> Result<PreparedFile, Failure> {
    let sheets = group_rows(&read.imported).map_err(|problems| refused(&handed.name, &problems))?;
    let sheets = sheets
        .into_iter()
        .map(|sheet| prepare_sheet(sheet, &handed.name))
        .collect::<Result<_, _>>()?;
    Ok(PreparedFile {
        report: FileReport {
            sha256: digest_bytes(&handed.bytes),
            name: handed.name,
            importer: ImporterStamp {
                id: read.importer.clone(),
                version: read.importer_version.clone(),
            },
            reading: read.imported.reading.clone(),
            warnings: read.imported.warnings.clone(),
        },
        bytes: handed.bytes,
        sheets,
    })
}

fn prepare_sheet(sheet: Sheet, file: &str) -> Result<PreparedSheet, Failure> {
    let document = serde_json::to_value(&sheet).map_err(|error| {
        Failure::new(
            crate::FailureClass::Bug,
            "sheet.not-writable",
            error.to_string(),
        )
    })?;
    check_value(&catalogue::SHEET, &document)
        .map_err(|problems| Failure::not_valid(file, "sheet", &problems))?;
    Ok(PreparedSheet {
        id: sheet_id(&sheet),
        digest: content_digest(&document),
        document: document.to_string(),
        sheet,
    })
}

/// A file that can't be taken: every problem with its line and the cure.
pub(crate) fn refused(name: &str, problems: &[Problem]) -> Failure {
    let mut failure = Failure::refused("sheet.not-readable", format!("`{name}` was not taken"))
        .hint("nothing was written; mend the file and import it again");
    for problem in problems {
        let line = problem
            .row
            .map(|row| format!("line {row}, "))
            .unwrap_or_default();
        let column = problem
            .column
            .as_ref()
            .map(|c| format!("column {c}: "))
            .unwrap_or_default();
        let hint = problem
            .hint
            .as_ref()
            .map(|h| format!("; {h}"))
            .unwrap_or_default();
        failure
            .details
            .push(format!("{line}{column}{}{hint}", problem.message));
    }
    failure
}
