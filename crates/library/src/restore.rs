//! The way back from a copy.

use crate::change::{Deed, Stamp};
use crate::connect::{beside, connect, connect_as_it_stands, folder_of};
use crate::copy::{copy_beside, copy_pages, free_name, name_copy};
use crate::create::force_to_disk;
use crate::error::LibraryError;
use crate::lost_log::refuse_lost_log;
use crate::migrations::{SCHEMA_VERSION, STEPS, migrate};
use crate::open::{Library, LibraryInfo, PATIENCE, recognised_version};
use rusqlite::{Connection, OpenFlags};
use serde::Serialize;
use std::path::{Path, PathBuf};
use std::time::Duration;
use tempfile::TempPath;

/// What a restore did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RestoreReport {
    /// The library now in use.
    pub library: PathBuf,
    /// Where it came from.
    pub from: PathBuf,
    /// Where the library that was in use before went, if there was one.
    pub previous_kept_at: Option<PathBuf>,
}

/// Files that may stand beside a library and belong to just this one.
const BESIDE: [&str; 3] = ["-wal", "-shm", "-journal"];

impl Library {
    /// Puts a verified copy in the place of the library at `path`. The library that was there is
    /// kept beside it; a copy that does not verify is refused and nothing is changed. The copy
    /// itself is only read.
    ///
    /// # Errors
    /// [`LibraryError::Unverified`], why the copy can't be opened, and [`LibraryError::Locked`]
    /// while another program has the library open.
    pub fn restore(from: &Path, path: &Path, stamp: &Stamp) -> Result<RestoreReport, LibraryError> {
        Self::restore_with_patience(from, path, stamp, PATIENCE)
    }

    /// The same, waiting so long for another program.
    ///
    /// # Errors
    /// As [`Library::restore`].
    pub fn restore_with_patience(
        from: &Path,
        path: &Path,
        stamp: &Stamp,
        patience: Duration,
    ) -> Result<RestoreReport, LibraryError> {
        if !from.exists() {
            return Err(LibraryError::Missing { path: from.into() });
        }
        // Where a link leads: the file is replaced, not the link.
        let target = std::fs::canonicalize(path).unwrap_or_else(|_not_there| path.into());
        if std::fs::canonicalize(from).is_ok_and(|from| from == target) {
            return Err(LibraryError::Forbidden {
                rule: "a library can't be restored from itself".to_owned(),
            });
        }
        let prepared = prepare(from, &target, stamp, patience)?;
        let previous_kept_at = if target.exists() {
            Some(replace(prepared, &target, stamp, patience)?)
        } else {
            set_strays_aside(&target, stamp)?;
            name_copy(prepared, &target)?;
            None
        };
        Ok(RestoreReport {
            library: path.into(),
            from: from.into(),
            previous_kept_at,
        })
    }
}

/// A copy of the copy, verified, with the record of the restore already in it.
fn prepare(
    from: &Path,
    target: &Path,
    stamp: &Stamp,
    patience: Duration,
) -> Result<TempPath, LibraryError> {
    refuse_lost_log(from)?;
    let made = {
        let source = connect_as_it_stands(from, patience)?;
        recognised_version(&source, from)?;
        copy_beside(&source, target)?
    };
    let mut connection = connect(&made, from, OpenFlags::SQLITE_OPEN_READ_WRITE, patience)?;
    migrate(&mut connection, from, STEPS)?;
    let info = LibraryInfo {
        schema_version: SCHEMA_VERSION,
        journal: "delete".to_owned(),
        network_file_system: None,
        copied_to: None,
        read_only: false,
    };
    let mut library = Library::with_connection(connection, from, info);
    if let Some(finding) = library.verify()?.findings.first() {
        return Err(LibraryError::Unverified {
            path: from.into(),
            detail: format!("{}: {}", finding.place, finding.message),
        });
    }
    let subject = from.file_name().unwrap_or_default().to_string_lossy();
    let change = library.change(stamp.clone())?;
    change.record(&Deed {
        action: "restored",
        kind: "library",
        subject: &subject,
        reason: None,
        before: None,
        after: None,
    })?;
    change.commit()?;
    drop(library);
    force_to_disk(&made).map_err(|error| LibraryError::from_io(target, error))?;
    Ok(made)
}

/// Keeps the library that is there and puts the new one in its place: as one transaction where the
/// old file is sound enough for that, else by moving files.
fn replace(
    prepared: TempPath,
    path: &Path,
    stamp: &Stamp,
    patience: Duration,
) -> Result<PathBuf, LibraryError> {
    let kept = free_name(beside(
        path,
        &format!(".before-restore-{}", stamp.at.strftime("%Y%m%dT%H%M%SZ")),
    ));
    let replaced = refuse_lost_log(path)
        .and_then(|()| replace_by_transaction(&prepared, path, &kept, patience));
    match replaced {
        Ok(()) => Ok(kept),
        Err(error) if is_damage(&error) => {
            replace_by_moving(prepared, path, &kept)
                .map_err(|source| LibraryError::from_io(path, source))?;
            Ok(kept)
        }
        Err(error) => Err(error),
    }
}

/// Nobody else may have the library open from before the old state is copied until the new one is
/// in: a change made in between would be in neither.
fn replace_by_transaction(
    prepared: &Path,
    path: &Path,
    kept: &Path,
    patience: Duration,
) -> Result<(), LibraryError> {
    let sqlite = |error| LibraryError::from_sqlite(path, error);
    let mut library = connect(path, path, OpenFlags::SQLITE_OPEN_READ_WRITE, patience)?;
    library
        .pragma_update_and_check(None, "locking_mode", "EXCLUSIVE", |_| Ok(()))
        .map_err(sqlite)?;
    recognised_version(&library, path)?;
    // The lock is taken by the first write and then held until the connection closes.
    library
        .execute_batch("BEGIN EXCLUSIVE; COMMIT")
        .map_err(sqlite)?;
    name_copy(copy_beside(&library, kept)?, kept)?;
    let new = Connection::open_with_flags(prepared, OpenFlags::SQLITE_OPEN_READ_ONLY)
        .map_err(|error| LibraryError::from_sqlite(prepared, error))?;
    copy_pages(&new, &mut library, path)
}

/// A file that SQLite can't work with any more; what belongs to another program is left alone.
fn is_damage(error: &LibraryError) -> bool {
    matches!(
        error,
        LibraryError::Damaged { .. }
            | LibraryError::LogLost { .. }
            | LibraryError::NoDatabase { .. }
    )
}

/// Copies the damaged files as they are, then takes away what would be played into the new file.
fn replace_by_moving(prepared: TempPath, path: &Path, kept: &Path) -> std::io::Result<()> {
    for ending in std::iter::once("").chain(BESIDE) {
        let old = beside(path, ending);
        if old.exists() {
            let new = beside(kept, ending);
            std::fs::copy(&old, &new)?;
            force_to_disk(&new)?;
        }
    }
    for ending in BESIDE {
        remove_if_there(&beside(path, ending))?;
    }
    prepared.persist(path).map_err(|failed| failed.error)?;
    force_to_disk(folder_of(path))
}

/// A log without its library would be played into the new file.
fn set_strays_aside(path: &Path, stamp: &Stamp) -> Result<(), LibraryError> {
    for ending in BESIDE {
        let stray = beside(path, ending);
        if stray.exists() {
            let day = stamp.at.strftime("%Y%m%dT%H%M%SZ");
            let aside = free_name(beside(&stray, &format!(".before-restore-{day}")));
            std::fs::rename(&stray, &aside).map_err(|e| LibraryError::from_io(&stray, e))?;
        }
    }
    Ok(())
}

fn remove_if_there(path: &Path) -> std::io::Result<()> {
    match std::fs::remove_file(path) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(error),
        _ => Ok(()),
    }
}
