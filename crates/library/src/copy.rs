//! Whole copies of the file, made beside their place and moved in when they are complete.

use crate::connect::folder_of;
use crate::create::{force_to_disk, usual_permissions};
use crate::error::LibraryError;
use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};
use std::path::{Path, PathBuf};
use tempfile::TempPath;

/// How the name of a copy begins that is not complete yet.
pub(crate) const COPY_PREFIX: &str = ".dyebook-copy-";

/// Copies into a file beside `to` that goes away unless it is moved to its place.
pub(crate) fn copy_beside(from: &Connection, to: &Path) -> Result<TempPath, LibraryError> {
    let file = |source| LibraryError::from_io(to, source);
    let sqlite = |error| LibraryError::from_sqlite(to, error);
    let made = tempfile::Builder::new()
        .prefix(COPY_PREFIX)
        .permissions(usual_permissions())
        .tempfile_in(folder_of(to))
        .map_err(file)?
        .into_temp_path();
    {
        let mut target = Connection::open(&made).map_err(sqlite)?;
        // Nobody relies on it before it has its name; it is forced to the disk once, at the end.
        target
            .pragma_update(None, "synchronous", "OFF")
            .map_err(sqlite)?;
        copy_pages(from, &mut target, to)?;
        // One file that needs nothing beside it.
        target
            .pragma_update_and_check(None, "journal_mode", "delete", |_| Ok(()))
            .map_err(sqlite)?;
    }
    force_to_disk(&made).map_err(file)?;
    Ok(made)
}

/// Copies all pages in one go: what is copied is one state of the library, however much is written
/// meanwhile, and a copy never starts anew. With a write-ahead log, writers go on.
pub(crate) fn copy_pages(
    from: &Connection,
    target: &mut Connection,
    shown: &Path,
) -> Result<(), LibraryError> {
    let sqlite = |error| LibraryError::from_sqlite(shown, error);
    let copy = Backup::new(from, target).map_err(sqlite)?;
    loop {
        match copy.step(-1).map_err(sqlite)? {
            StepResult::Done => return Ok(()),
            StepResult::More => {}
            // The patience of the connection is at its end already.
            _ => return Err(LibraryError::Locked { path: shown.into() }),
        }
    }
}

/// Gives a complete copy its name, which must be free.
pub(crate) fn name_copy(made: TempPath, to: &Path) -> Result<(), LibraryError> {
    made.persist_noclobber(to)
        .map_err(|failed| match failed.error.kind() {
            std::io::ErrorKind::AlreadyExists => LibraryError::Exists { path: to.into() },
            _ => LibraryError::from_io(to, failed.error),
        })?;
    force_to_disk(folder_of(to)).map_err(|error| LibraryError::from_io(to, error))
}

/// The name itself, or the first one with a number at its end that is free.
pub(crate) fn free_name(wanted: PathBuf) -> PathBuf {
    let taken = |path: &Path| path.symlink_metadata().is_ok();
    if !taken(&wanted) {
        return wanted;
    }
    (2u32..=9999)
        .map(|number| {
            let mut name = wanted.as_os_str().to_os_string();
            name.push(format!("-{number}"));
            PathBuf::from(name)
        })
        .find(|path| !taken(path))
        .unwrap_or(wanted)
}
