//! Files through importers.

use crate::failure::Failure;
use crate::import_prepare::refused;
use crate::plugin_matcher::plugin_failure;
use crate::sheet_files::{HandedIn, ReadFile};
use dyebook_plugin_host::{ImportOutcome, Plugins};

/// Reads a file with the named importer, or with the one that is surest of it.
///
/// # Errors
/// No importer knows the file, the importer refuses it, or the importer fails.
pub fn read_file(
    plugins: &Plugins,
    file: &HandedIn,
    importer: Option<&str>,
    parameters: &[String],
) -> Result<ReadFile, Failure> {
    let handle = match importer {
        Some(id) => plugins
            .importer(id)
            .map_err(|error| plugin_failure(&error))?,
        None => plugins
            .importer_for(&file.name, &file.bytes)
            .map_err(|error| {
                let said = plugin_failure(&error);
                Failure {
                    id: "sheet.no-importer".to_owned(),
                    hints: Vec::new(),
                    ..said
                }
                .hint("a data sheet has a header and rows: see `dyebook sheet template REF`")
                .hint("or name the importer: --importer sheet")
            })?,
    };
    let handle = handle.with_parameters(parameters).map_err(|error| {
        let mut failure = Failure::refused(error.id(), error.to_string());
        failure.hints = error.hints();
        failure
    })?;
    match handle
        .import(&file.name, &file.bytes)
        .map_err(|error| plugin_failure(&error))?
    {
        ImportOutcome::Imported(imported) => Ok(ReadFile {
            importer: handle.id().clone(),
            importer_version: handle.version().to_owned(),
            imported: *imported,
        }),
        ImportOutcome::Refused { problems } => Err(refused(&file.name, &problems)),
    }
}
