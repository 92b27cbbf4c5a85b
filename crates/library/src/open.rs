//! Making and opening the file.

use crate::change::{Change, Stamp};
use crate::error::LibraryError;
use crate::file_system::network_file_system;
use crate::migrations::{
    APPLICATION_ID, SCHEMA_VERSION, application_id, copy_name, migrate, user_version,
};
use rusqlite::{Connection, OpenFlags};
use serde::Serialize;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long a writer waits for another one before it says so.
const PATIENCE: Duration = Duration::from_secs(5);

/// An open reference library.
#[derive(Debug)]
pub struct Library {
    pub(crate) connection: Connection,
    path: PathBuf,
    info: LibraryInfo,
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
    /// Makes a new library file and opens it.
    ///
    /// # Errors
    /// [`LibraryError::Exists`] when anything is at the path; what SQLite and the file system say.
    pub fn create(path: &Path) -> Result<Self, LibraryError> {
        let file = |source: std::io::Error| match source.kind() {
            std::io::ErrorKind::AlreadyExists => LibraryError::Exists { path: path.into() },
            _ => LibraryError::File {
                path: path.into(),
                source,
            },
        };
        if let Some(folder) = path.parent().filter(|p| !p.as_os_str().is_empty()) {
            std::fs::create_dir_all(folder).map_err(file)?;
        }
        // Made beside and moved in whole: nobody ever sees half a library, and an existing file
        // is never written over.
        let folder = path
            .parent()
            .filter(|p| !p.as_os_str().is_empty())
            .unwrap_or(Path::new("."));
        let made = tempfile::Builder::new()
            .prefix(".dyebook-new-")
            .tempfile_in(folder)
            .map_err(file)?
            .into_temp_path();
        {
            let mut connection = connect(&made, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
            migrate(&mut connection, &made)?;
        }
        made.persist_noclobber(path)
            .map_err(|error| file(error.error))?;
        Self::open(path)
    }

    /// Opens a library for reading and writing; an older one is copied, then migrated. A file that
    /// can't be written is opened for reading.
    ///
    /// # Errors
    /// Missing, foreign, newer, damaged or locked files, each in words.
    pub fn open(path: &Path) -> Result<Self, LibraryError> {
        if !path.exists() {
            return Err(LibraryError::Missing { path: path.into() });
        }
        let read_only = is_read_only(path);
        let connection = if read_only {
            connect_read_only(path)?
        } else {
            connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?
        };
        let mut library = Self {
            connection,
            path: path.to_path_buf(),
            info: LibraryInfo {
                schema_version: SCHEMA_VERSION,
                journal: String::new(),
                network_file_system: network_file_system(path).map(str::to_owned),
                copied_to: None,
                read_only,
            },
        };
        library.recognise()?;
        library.choose_journal()?;
        Ok(library)
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
        let transaction = self
            .connection
            .transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)
            .map_err(|error| LibraryError::from_sqlite(&self.path, error))?;
        Ok(Change::new(transaction, &self.path, stamp))
    }

    pub(crate) fn sqlite(&self, error: rusqlite::Error) -> LibraryError {
        LibraryError::from_sqlite(&self.path, error)
    }

    /// Is it ours, and of which version? Migrates an older one, after a copy.
    fn recognise(&mut self) -> Result<(), LibraryError> {
        let mark = application_id(&self.connection).map_err(|e| self.sqlite(e))?;
        let version = user_version(&self.connection).map_err(|e| self.sqlite(e))?;
        if mark != APPLICATION_ID {
            let found = "an SQLite file of another program".to_owned();
            return Err(LibraryError::Foreign {
                path: self.path.clone(),
                found,
            });
        }
        if version > SCHEMA_VERSION {
            return Err(LibraryError::Newer {
                path: self.path.clone(),
                found: version,
                known: SCHEMA_VERSION,
            });
        }
        if version < SCHEMA_VERSION {
            if self.info.read_only {
                return Err(LibraryError::ReadOnly {
                    path: self.path.clone(),
                });
            }
            let copy = copy_name(&self.path, version);
            self.copy_to(&copy)?;
            migrate(&mut self.connection, &self.path)?;
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
        let pragma = if self.info.read_only {
            self.connection
                .pragma_query_value(None, "journal_mode", |row| row.get(0))
        } else {
            self.connection
                .pragma_update_and_check(None, "journal_mode", wanted, |row| row.get(0))
        };
        self.info.journal = pragma.map_err(|error| self.sqlite(error))?;
        Ok(())
    }
}

fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, LibraryError> {
    let sqlite = |error| LibraryError::from_sqlite(path, error);
    let flags = flags | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(path, flags).map_err(sqlite)?;
    connection.busy_timeout(PATIENCE).map_err(sqlite)?;
    connection
        .pragma_update(None, "foreign_keys", true)
        .map_err(sqlite)?;
    connection
        .pragma_update(None, "trusted_schema", false)
        .map_err(sqlite)?;
    // A committed change survives a power cut, not only a crash of the program.
    connection
        .pragma_update(None, "synchronous", "FULL")
        .map_err(sqlite)?;
    Ok(connection)
}

/// A file whose folder can't be written can't have a log beside it; it is read as it stands.
fn connect_read_only(path: &Path) -> Result<Connection, LibraryError> {
    let folder_writable = rustix::fs::access(
        path.parent()
            .filter(|p| !p.as_os_str().is_empty())
            .unwrap_or(Path::new(".")),
        rustix::fs::Access::WRITE_OK,
    )
    .is_ok();
    if folder_writable {
        return connect(path, OpenFlags::SQLITE_OPEN_READ_ONLY);
    }
    let uri = format!("file:{}?immutable=1", escape_for_uri(path));
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
    connect(Path::new(&uri), flags)
}

fn escape_for_uri(path: &Path) -> String {
    path.display()
        .to_string()
        .replace('%', "%25")
        .replace('?', "%3f")
        .replace('#', "%23")
}

fn is_read_only(path: &Path) -> bool {
    rustix::fs::access(path, rustix::fs::Access::WRITE_OK).is_err()
}
