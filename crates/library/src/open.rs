//! Opening the file.

use crate::change::{Change, Stamp};
use crate::connect::{beside, connect, connect_read_only, is_read_only};
use crate::error::LibraryError;
use crate::file_system::network_file_system;
use crate::log_to_disk::LogToDisk;
use crate::lost_log::refuse_lost_log;
use crate::migrations::{
    APPLICATION_ID, SCHEMA_VERSION, STEPS, application_id, migrate, user_version,
};
use rusqlite::{Connection, OpenFlags};
use serde::Serialize;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long one program waits for another one before it says so.
pub const PATIENCE: Duration = Duration::from_secs(5);

/// Pages that the log takes before they go into the file.
const LOG_PAGES: u32 = 4_096;

/// An open reference library.
#[derive(Debug)]
pub struct Library {
    pub(crate) connection: Connection,
    path: PathBuf,
    info: LibraryInfo,
    changed: bool,
}

/// How the file is held.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LibraryInfo {
    /// Schema version in the file.
    pub schema_version: i64,
    /// `wal` or `delete`.
    pub journal: String,
    /// The network file system it lies on, where it does.
    pub network_file_system: Option<String>,
    /// The copy made before this opening migrated the file.
    pub copied_to: Option<PathBuf>,
    /// Opened for reading only, since the file or its folder can't be written.
    pub read_only: bool,
}

impl Library {
    /// Opens a library for reading and writing; an older one is copied, then migrated. A file that
    /// can't be written is opened for reading.
    ///
    /// # Errors
    /// Missing, foreign, newer, damaged or locked files, each in words.
    pub fn open(path: &Path) -> Result<Self, LibraryError> {
        Self::open_with_patience(path, PATIENCE)
    }

    /// The same, waiting so long for another program.
    ///
    /// # Errors
    /// As [`Library::open`].
    pub fn open_with_patience(path: &Path, patience: Duration) -> Result<Self, LibraryError> {
        if !path.exists() {
            return Err(LibraryError::Missing { path: path.into() });
        }
        refuse_lost_log(path)?;
        let read_only = is_read_only(path);
        let connection = if read_only {
            connect_read_only(path, patience)?
        } else {
            connect(path, path, OpenFlags::SQLITE_OPEN_READ_WRITE, patience)?
        };
        let info = LibraryInfo {
            schema_version: SCHEMA_VERSION,
            journal: String::new(),
            network_file_system: network_file_system(path).map(str::to_owned),
            copied_to: None,
            read_only,
        };
        let mut library = Self::with_connection(connection, path, info);
        library.recognise()?;
        library.choose_journal()?;
        Ok(library)
    }

    pub(crate) fn with_connection(connection: Connection, path: &Path, info: LibraryInfo) -> Self {
        Self {
            connection,
            path: path.to_path_buf(),
            info,
            changed: false,
        }
    }

    /// Where the file is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// How the file is held.
    pub fn info(&self) -> &LibraryInfo {
        &self.info
    }

    /// Begins a change: nothing of it is kept unless it is committed.
    ///
    /// # Errors
    /// Locked or read-only files.
    pub fn change(&mut self, stamp: Stamp) -> Result<Change<'_>, LibraryError> {
        if self.info.read_only {
            return Err(LibraryError::ReadOnly {
                path: self.path.clone(),
            });
        }
        self.changed = true;
        let transaction = self
            .connection
            .transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)
            .map_err(|error| LibraryError::from_sqlite(&self.path, error))?;
        let has_log = self.info.journal == "wal";
        let log = has_log.then(|| LogToDisk::begin(beside(&self.path, "-wal")));
        Ok(Change::new(transaction, &self.path, stamp, log))
    }

    pub(crate) fn sqlite(&self, error: rusqlite::Error) -> LibraryError {
        LibraryError::from_sqlite(&self.path, error)
    }

    /// Is it ours, and of which version? Migrates an older one, after a copy.
    fn recognise(&mut self) -> Result<(), LibraryError> {
        let version = recognised_version(&self.connection, &self.path)?;
        if version < SCHEMA_VERSION {
            if self.info.read_only {
                return Err(LibraryError::ReadOnly {
                    path: self.path.clone(),
                });
            }
            let copy = self.copy_before_migration(version)?;
            migrate(&mut self.connection, &self.path, STEPS)?;
            self.info.copied_to = Some(copy);
        }
        Ok(())
    }

    /// Write-ahead log where the file system allows it: readers then never wait for a writer.
    fn choose_journal(&mut self) -> Result<(), LibraryError> {
        let wanted = if self.info.network_file_system.is_some() {
            "delete"
        } else {
            "wal"
        };
        let read = |connection: &Connection| {
            connection.pragma_query_value(None, "journal_mode", |row| row.get::<_, String>(0))
        };
        let mut journal = read(&self.connection).map_err(|error| self.sqlite(error))?;
        if !self.info.read_only && journal != wanted {
            journal = self
                .connection
                .pragma_update_and_check(None, "journal_mode", wanted, |row| row.get(0))
                .map_err(|error| self.sqlite(error))?;
        }
        if journal == "wal" {
            // Pages that one change after the other writes go into the file once.
            self.connection
                .pragma_update_and_check(None, "wal_autocheckpoint", LOG_PAGES, |_| Ok(()))
                .map_err(|error| self.sqlite(error))?;
        }
        self.info.journal = journal;
        Ok(())
    }
}

impl Drop for Library {
    /// What was committed goes from the log into the file before the program says that it is done,
    /// so that losing the log later loses nothing acknowledged. Fails where others still read; the
    /// log then stays and holds it.
    fn drop(&mut self) {
        if self.changed && self.info.journal == "wal" {
            let checkpoint =
                self.connection
                    .query_row("PRAGMA wal_checkpoint(PASSIVE)", [], |_| Ok(()));
            drop(checkpoint);
        }
    }
}

/// The schema version of a file that is a reference library, no newer than this program.
pub(crate) fn recognised_version(
    connection: &Connection,
    path: &Path,
) -> Result<i64, LibraryError> {
    let sqlite = |error| LibraryError::from_sqlite(path, error);
    if application_id(connection).map_err(sqlite)? != APPLICATION_ID {
        return Err(LibraryError::Foreign {
            path: path.into(),
            found: "an SQLite file of another program".to_owned(),
        });
    }
    let found = user_version(connection).map_err(sqlite)?;
    if found > SCHEMA_VERSION {
        return Err(LibraryError::Newer {
            path: path.into(),
            found,
            known: SCHEMA_VERSION,
        });
    }
    Ok(found)
}
