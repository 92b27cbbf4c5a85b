//! Data sheets in: read, bind to a method version, keep, check. All or nothing.
//!
//! A term may be larger than the memory: files are made ready some at a time, on all cores, and
//! kept in one transaction. A session whose sheets all came together is checked while it is at hand;
//! the others are once all is kept.

use crate::failure::Failure;
use crate::import_keep::Import;
use crate::import_prepare::{PreparedFile, prepare};
use crate::import_report::ImportReport;
use crate::session_checks::{KeptLot, check_lot, check_sessions, fill_in};
use crate::sheet_files::SheetFiles;
use crate::watch::{Progress, Watch, go_on};
use dyebook_documents::{Check, DyeRegister};
use dyebook_library::{Library, Stamp};
use rayon::in_place_scope;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::ops::Range;

/// Files that are in memory at a time: enough that no core waits for the last one of them long.
const FILES_AT_A_TIME: usize = 8;

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
    let dyes = library.dye_register()?;
    let (report, unchecked) = keep_files(library, stamp, files, replacement, &dyes, watch)?;
    check_sessions(library, &dyes, report, &unchecked, watch)
}

/// Keeps the files, and checks what it can without the library. Answers the sessions that are left.
fn keep_files(
    library: &mut Library,
    stamp: &Stamp,
    files: &dyn SheetFiles,
    replacement: Replacement<'_>,
    dyes: &DyeRegister,
    watch: &dyn Watch,
) -> Result<(ImportReport, BTreeSet<String>), Failure> {
    let mut import = Import::new(library.change(stamp.clone())?, replacement);
    let mut found: Vec<(usize, Vec<Check>)> = Vec::new();
    let of = files.count();
    let mut lots = (0..of).step_by(FILES_AT_A_TIME);
    let mut ready: Option<Vec<PreparedFile>> = None;
    let mut kept: Option<KeptLot> = None;
    // While some files are kept, the ones before are checked and the next are read.
    loop {
        let first = lots.next();
        if first.is_none() && ready.is_none() && kept.is_none() {
            break;
        }
        let progress = Progress {
            doing: "reading files",
            done: first.unwrap_or(of),
            of,
        };
        go_on(watch, progress, || {
            "stopped by you before all files were read; nothing was written".to_owned()
        })?;
        let (mut next, mut checked) = (None, Vec::new());
        let just_kept = in_place_scope(|scope| {
            if let Some(first) = first {
                let next = &mut next;
                scope.spawn(move |_| {
                    let last = of.min(first + FILES_AT_A_TIME);
                    *next = Some(read_files(files, first..last));
                });
            }
            if let Some(lot) = kept.take() {
                let checked = &mut checked;
                scope.spawn(move |_| *checked = check_lot(&lot, dyes));
            }
            ready.take().map(|files| import.keep(files)).transpose()
        });
        kept = just_kept?;
        found.append(&mut checked);
        ready = next.transpose()?;
    }
    let (mut report, unchecked) = import.finish()?;
    fill_in(&mut report, found);
    Ok((report, unchecked))
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
