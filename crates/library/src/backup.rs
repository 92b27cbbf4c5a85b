//! Copies of the library, and the way back.

use crate::change::{Deed, Stamp};
use crate::error::LibraryError;
use crate::open::Library;
use rusqlite::Connection;
use rusqlite::backup::Backup;
use serde::Serialize;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Pages copied between two looks at the lock, and the pause between: other writers get in.
const PAGES_A_STEP: i32 = 1024;
const PAUSE: Duration = Duration::from_millis(5);

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

impl Library {
    /// Copies the library to a new file while others go on reading and writing.
    ///
    /// # Errors
    /// [`LibraryError::Exists`] when anything is at the path; what the file system says.
    pub fn backup(&self, to: &Path) -> Result<(), LibraryError> {
        if to.exists() {
            return Err(LibraryError::Exists { path: to.into() });
        }
        self.copy_to(to)
    }

    /// Copies into a file made beside and moved in whole, replacing an older copy of that name.
    pub(crate) fn copy_to(&self, to: &Path) -> Result<(), LibraryError> {
        let file = |source| LibraryError::File {
            path: to.into(),
            source,
        };
        let folder = to
            .parent()
            .filter(|p| !p.as_os_str().is_empty())
            .unwrap_or(Path::new("."));
        let made = tempfile::Builder::new()
            .prefix(".dyebook-copy-")
            .tempfile_in(folder)
            .map_err(file)?
            .into_temp_path();
        let copy = || -> rusqlite::Result<()> {
            let mut target = Connection::open(&made)?;
            Backup::new(&self.connection, &mut target)?.run_to_completion(
                PAGES_A_STEP,
                PAUSE,
                None,
            )?;
            // One file that needs nothing beside it.
            target.pragma_update_and_check(None, "journal_mode", "delete", |_| Ok(()))
        };
        copy().map_err(|error| LibraryError::from_sqlite(to, error))?;
        made.persist(to).map_err(|error| file(error.error))
    }

    /// Puts a verified copy in the place of the library at `path`. The library that was there is
    /// kept beside it; a copy that does not verify is refused and nothing is changed.
    ///
    /// # Errors
    /// [`LibraryError::Unverified`], or why the copy can't be opened.
    pub fn restore(from: &Path, path: &Path, stamp: &Stamp) -> Result<RestoreReport, LibraryError> {
        let copy = Self::open(from)?;
        let report = copy.verify()?;
        if let Some(finding) = report.findings.first() {
            let detail = format!("{}: {}", finding.place, finding.message);
            return Err(LibraryError::Unverified {
                path: from.into(),
                detail,
            });
        }
        let previous_kept_at = if path.exists() {
            let kept = previous_name(path, stamp);
            keep_previous(path, &kept)?;
            Some(kept)
        } else {
            None
        };
        copy.copy_to(path)?;
        let mut library = Self::open(path)?;
        let subject = from
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
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
        Ok(RestoreReport {
            library: path.into(),
            from: from.into(),
            previous_kept_at,
        })
    }
}

fn previous_name(path: &Path, stamp: &Stamp) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(format!(
        ".before-restore-{}",
        stamp.at.strftime("%Y%m%dT%H%M%SZ")
    ));
    path.with_file_name(name)
}

/// Keeps the library that is to be replaced and takes its write-ahead log away, so that an old log
/// is never replayed into the new file. A sound library is copied with all that its log holds; a
/// damaged one is copied file by file as it is.
fn keep_previous(path: &Path, kept: &Path) -> Result<(), LibraryError> {
    if let Ok(previous) = Library::open(path) {
        previous.copy_to(kept)?;
        // Fails while another program has the library open: it would go on writing to a file that
        // is no longer there.
        let mode: String = previous
            .connection
            .pragma_update_and_check(None, "journal_mode", "delete", |row| row.get(0))
            .map_err(|error| previous.sqlite(error))?;
        if mode == "delete" {
            return Ok(());
        }
        return Err(LibraryError::Locked { path: path.into() });
    }
    for ending in ["", "-wal", "-shm"] {
        let (old, new) = (with_ending(path, ending), with_ending(kept, ending));
        let copied = std::fs::copy(&old, new).and_then(|_| {
            if ending.is_empty() {
                Ok(())
            } else {
                std::fs::remove_file(&old)
            }
        });
        match copied {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                return Err(LibraryError::File {
                    path: old,
                    source: error,
                });
            }
            _ => {}
        }
    }
    Ok(())
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_os_string();
    name.push(ending);
    name.into()
}
