//! Data sheets in: read, bind to a method version, keep, check. All or nothing.
//!
//! A term may be larger than the memory: files are made ready some at a time, on all cores, and
//! kept in one transaction; then the entry checks go through what is kept, session by session.

use crate::failure::Failure;
use crate::import_bindings::Bindings;
use crate::import_prepare::{PreparedFile, PreparedSheet, prepare};
use crate::import_report::{FileReport, ImportReport, SheetReport};
use crate::session_checks::check_sessions;
use crate::sheet_files::SheetFiles;
use crate::watch::{Progress, Watch, go_on};
use dyebook_library::{Change, Library, NewRevision, Origin, RevisionKind, SourceFile, Stamp};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Files that are in memory at a time: enough that no core waits for the last one of them long.
const FILES_AT_A_TIME: usize = 16;

/// Leave to take a sheet that was handed in again with other contents.
#[derive(Debug, Clone, Copy, Default)]
pub struct Replacement<'a> {
    /// Whether a person asked for it.
    pub allowed: bool,
    /// Why.
    pub reason: Option<&'a str>,
}

/// Takes in files. Either all sheets of all files are kept, or none.
///
/// # Errors
/// Files that can't be read, values that can't be understood, method references that lead nowhere,
/// a sheet handed in again with other contents without leave, a wish to stop before all is kept,
/// and what the library says.
pub fn import_sheets(
    library: &mut Library,
    stamp: &Stamp,
    files: &dyn SheetFiles,
    replacement: Replacement<'_>,
    watch: &dyn Watch,
) -> Result<ImportReport, Failure> {
    let report = keep_files(library, stamp, files, replacement, watch)?;
    let dyes = library.dye_register()?;
    check_sessions(library, &dyes, report, watch)
}

fn keep_files(
    library: &mut Library,
    stamp: &Stamp,
    files: &dyn SheetFiles,
    replacement: Replacement<'_>,
    watch: &dyn Watch,
) -> Result<ImportReport, Failure> {
    let count = files.count();
    let mut import = Import {
        change: library.change(stamp.clone())?,
        replacement,
        bindings: Bindings::default(),
        file_of: BTreeMap::new(),
        report: ImportReport {
            sheets: Vec::new(),
            files: Vec::with_capacity(count),
        },
    };
    for first in (0..count).step_by(FILES_AT_A_TIME) {
        let progress = Progress {
            doing: "reading files",
            done: first,
            of: count,
        };
        go_on(watch, progress, || {
            "stopped by you before all files were read; nothing was written".to_owned()
        })?;
        let last = count.min(first + FILES_AT_A_TIME);
        let ready: Vec<Result<PreparedFile, Failure>> = (first..last)
            .into_par_iter()
            .map(|number| {
                let (handed, read) = files.read(number)?.into_owned();
                prepare(handed, &read)
            })
            .collect();
        for file in ready {
            import.keep_file(file?)?;
        }
    }
    let Import { change, report, .. } = import;
    change.commit()?;
    Ok(report)
}

/// An import under way.
struct Import<'a> {
    change: Change<'a>,
    replacement: Replacement<'a>,
    bindings: Bindings,
    /// The file in which each sheet stands.
    file_of: BTreeMap<String, usize>,
    report: ImportReport,
}

impl Import<'_> {
    fn keep_file(&mut self, file: PreparedFile) -> Result<(), Failure> {
        self.change.keep_file(SourceFile {
            name: &file.report.name,
            sha256: &file.report.sha256,
            bytes: &file.bytes,
        })?;
        let number = self.report.files.len();
        for sheet in &file.sheets {
            if let Some(first) = self.file_of.insert(sheet.id.clone(), number) {
                let first = self.report.files.get(first).unwrap_or(&file.report);
                return Err(twice(&sheet.id, &first.name, &file.report.name));
            }
            let taken = self.keep(sheet, &file.report)?;
            self.report.sheets.push(taken);
        }
        self.report.files.push(file.report);
        Ok(())
    }

    fn keep(&mut self, one: &PreparedSheet, file: &FileReport) -> Result<SheetReport, Failure> {
        let before = self.change.handed_in(&one.id)?;
        let same = (before.as_ref()).is_some_and(|before| before.digest == one.digest.as_str());
        let again = before.is_some() && !same;
        let kept = match before.filter(|_| same) {
            // A sheet stays bound to the version it was first bound to.
            Some(before) => self.bindings.before(&self.change, &before)?,
            None => self.bindings.now(&self.change, &one.sheet.method)?,
        };
        if again && !self.replacement.allowed {
            return Err(resubmission(one, &file.name));
        }
        if !same {
            let importer = format!("{} {}", file.importer.id, file.importer.version);
            let reading = serde_json::to_value(&file.reading).unwrap_or_default();
            self.change.keep_revision(&NewRevision {
                id: &one.id,
                sheet: &one.sheet,
                document: &one.document,
                digest: &one.digest,
                kind: if again {
                    RevisionKind::Replaced
                } else {
                    RevisionKind::Imported
                },
                file_sha256: file.sha256.as_str(),
                importer: &importer,
                reading: &reading,
                method_id: &kept.id,
                method_version: &kept.version,
                state_when_bound: kept.state,
                origin: Origin::Here,
                reason: self.replacement.reason.filter(|_| again),
            })?;
        }
        Ok(SheetReport {
            id: one.id.clone(),
            section: one.sheet.section.clone(),
            group: one.sheet.group.clone(),
            date: one.sheet.date,
            method: kept.name(),
            papers: one.sheet.papers().len(),
            spots: one.sheet.spot_count(),
            new: !same,
            replaced: again,
            checks: Vec::new(),
        })
    }
}

/// Two files of one import must not hold the same sheet: neither would be the right one.
fn twice(id: &str, first: &str, second: &str) -> Failure {
    Failure::refused(
        "sheet.twice",
        format!("the sheet `{id}` stands in two of the files"),
    )
    .detail(format!("first   {first}"))
    .detail(format!("second  {second}"))
    .hint("import one of them; if the second is a correction, add it later with --replace")
}

fn resubmission(one: &PreparedSheet, file: &str) -> Failure {
    Failure::refused(
        "sheet.handed-in-again",
        format!(
            "the sheet `{}` was handed in before with other contents",
            one.id
        ),
    )
    .detail(format!("file   {file}"))
    .detail(format!(
        "sheet  section {}, group {}, {}",
        one.sheet.section.as_deref().unwrap_or("-"),
        one.sheet.group,
        one.sheet
            .date
            .map_or_else(|| "no date".to_owned(), |date| date.to_string()),
    ))
    .hint("look at what is kept with `dyebook sheet show`; nothing was written")
    .hint("to take the new one and keep the old beside it: --replace --reason \"…\"")
}
