//! Data sheets in: read, bind to a method version, keep, check. All or nothing.
//!
//! A term may be larger than the memory: files are made ready some at a time, on all cores, and
//! kept in one transaction. A session whose sheets all came together is checked while it is at hand;
//! the others are once all is kept. The dyes of new sheets are found while they are at hand, too.

use crate::failure::Failure;
use crate::import_keep::Import;
use crate::import_prepare::{PreparedFile, prepare};
use crate::import_report::ImportReport;
use crate::kept_lot::{Identifying, KeptLot, Seen};
use crate::session_checks::check_sessions;
use crate::sheet_files::SheetFiles;
use crate::watch::{Progress, Watch, go_on};
use dyebook_documents::DyeRegister;
use dyebook_library::{Library, Stamp};
use rayon::in_place_scope;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::ops::Range;

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
    import(library, stamp, files, replacement, None, watch)
}

/// The same with the identities of the sheets that are new: all is kept, or nothing.
///
/// # Errors
/// As [`import_sheets`], and a strategy that can't be used.
pub fn import_and_identify(
    library: &mut Library,
    stamp: &Stamp,
    files: &dyn SheetFiles,
    replacement: Replacement<'_>,
    identifying: Identifying<'_>,
    watch: &dyn Watch,
) -> Result<ImportReport, Failure> {
    import(library, stamp, files, replacement, Some(identifying), watch)
}

fn import(
    library: &mut Library,
    stamp: &Stamp,
    files: &dyn SheetFiles,
    replacement: Replacement<'_>,
    identifying: Option<Identifying<'_>>,
    watch: &dyn Watch,
) -> Result<ImportReport, Failure> {
    let dyes = library.dye_register()?;
    let import = Import::new(library.change(stamp.clone())?, replacement);
    let (report, unchecked) = keep_files(import, files, &dyes, identifying, watch)?;
    check_sessions(library, &dyes, report, &unchecked, watch)
}

/// Keeps the files, and sees what it can while they are at hand. Answers the sessions that are left
/// to be checked.
fn keep_files(
    mut import: Import<'_>,
    files: &dyn SheetFiles,
    dyes: &DyeRegister,
    mut identifying: Option<Identifying<'_>>,
    watch: &dyn Watch,
) -> Result<(ImportReport, BTreeSet<String>), Failure> {
    let of = files.count();
    let mut lots = (0..of).step_by(FILES_AT_A_TIME);
    let mut ready: Option<Vec<PreparedFile>> = None;
    let mut kept: Option<KeptLot> = None;
    let mut seen: Option<Vec<Seen>> = None;
    // While some files are kept, the ones before are looked at and the next are read.
    loop {
        let first = lots.next();
        if first.is_none() && ready.is_none() && kept.is_none() && seen.is_none() {
            return import.finish();
        }
        let progress = Progress {
            doing: "reading files",
            done: first.unwrap_or(of),
            of,
        };
        go_on(watch, progress, || {
            "stopped by you before all files were read; nothing was written".to_owned()
        })?;
        let wish = identifying.as_mut().map(Identifying::again);
        let (mut next, mut looked) = (None, None);
        let just_kept = in_place_scope(|scope| {
            if let Some(first) = first {
                let next = &mut next;
                scope.spawn(move |_| {
                    let last = of.min(first + FILES_AT_A_TIME);
                    *next = Some(read_files(files, first..last));
                });
            }
            if let Some(lot) = kept.take() {
                let looked = &mut looked;
                scope.spawn(move |_| *looked = Some(lot.look_over(dyes, wish)));
            }
            if let Some(seen) = seen.take() {
                import.keep_seen(seen)?;
            }
            ready.take().map(|files| import.keep(files)).transpose()
        });
        kept = just_kept?;
        seen = looked.transpose().map_err(|failure| {
            failure.hint("nothing was written; without --identify the sheets are taken in alone")
        })?;
        ready = next.transpose()?;
    }
}

fn read_files(files: &dyn SheetFiles, numbers: Range<usize>) -> Result<Vec<PreparedFile>, Failure> {
    let read: Vec<Result<PreparedFile, Failure>> = numbers
        .into_par_iter()
        .map(|number| {
            let (handed, read) = files.read(number)?.into_owned();
            prepare(handed, read)
        })
        .collect();
    // Of several files that can't be taken the first one is told.
    read.into_iter().collect()
}
