//! What can go wrong with the reference library, in words.

use std::path::PathBuf;

/// Why the reference library could not do what was asked.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LibraryError {
    /// There is no file.
    #[error("there is no reference library at `{}`", path.display())]
    Missing {
        /// The path.
        path: PathBuf,
    },
    /// The file is there already.
    #[error("`{}` exists already and is left as it is", path.display())]
    Exists {
        /// The path.
        path: PathBuf,
    },
    /// The file is not one of ours.
    #[error("`{}` is not a dyebook reference library", path.display())]
    Foreign {
        /// The path.
        path: PathBuf,
        /// What it is instead.
        found: String,
    },
    /// The file is no SQLite file, or its beginning is damaged.
    #[error("`{}` is not a dyebook reference library: it is no SQLite file, or a damaged one", path.display())]
    NoDatabase {
        /// The path.
        path: PathBuf,
    },
    /// The log beside it, which holds the newest changes, was taken away.
    #[error(
        "the log of `{}` is gone: `{}-shm` is there, `{}-wal` is not",
        path.display(), path.display(), path.display()
    )]
    LogLost {
        /// The path.
        path: PathBuf,
    },
    /// Another program changed the same thing between looking and writing.
    #[error("{what} was changed by another program just now")]
    ChangedMeanwhile {
        /// Which thing.
        what: String,
    },
    /// A later program wrote it.
    #[error(
        "`{}` was written by a later dyebook: its schema is version {found}, this program knows up to {known}",
        path.display()
    )]
    Newer {
        /// The path.
        path: PathBuf,
        /// Its schema version.
        found: i64,
        /// The newest schema version known here.
        known: i64,
    },
    /// Another process holds it.
    #[error("`{}` is being written by another program", path.display())]
    Locked {
        /// The path.
        path: PathBuf,
    },
    /// It can't be written.
    #[error("`{}` can't be written", path.display())]
    ReadOnly {
        /// The path.
        path: PathBuf,
    },
    /// The disk is full.
    #[error("the disk that holds `{}` is full", path.display())]
    DiskFull {
        /// The path.
        path: PathBuf,
    },
    /// Its pages are damaged.
    #[error("`{}` is damaged: {detail}", path.display())]
    Damaged {
        /// The path.
        path: PathBuf,
        /// What SQLite says.
        detail: String,
    },
    /// A rule of the library forbids it.
    #[error("{rule}")]
    Forbidden {
        /// The rule, as the file's own trigger states it.
        rule: String,
    },
    /// A copy did not verify.
    #[error("`{}` does not verify, so it was not taken: {detail}", path.display())]
    Unverified {
        /// The path.
        path: PathBuf,
        /// The first finding.
        detail: String,
    },
    /// The file system refused.
    #[error("`{}` can't be used: {source}", path.display())]
    File {
        /// The path.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// Something kept can't be read back.
    #[error("what is kept of {what} can't be read back: {detail}")]
    Unreadable {
        /// Which document.
        what: String,
        /// Why.
        detail: String,
    },
    /// Any other answer of SQLite.
    #[error("`{}` can't be used: {source}", path.display())]
    Sqlite {
        /// The path.
        path: PathBuf,
        /// What SQLite said.
        source: rusqlite::Error,
    },
}

impl LibraryError {
    /// A name that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Missing { .. } => "library.missing",
            Self::Exists { .. } => "library.exists",
            Self::Foreign { .. } | Self::NoDatabase { .. } => "library.foreign",
            Self::LogLost { .. } => "library.log-lost",
            Self::ChangedMeanwhile { .. } => "library.changed-meanwhile",
            Self::Newer { .. } => "library.newer",
            Self::Locked { .. } => "library.locked",
            Self::ReadOnly { .. } => "library.read-only",
            Self::DiskFull { .. } => "library.disk-full",
            Self::Damaged { .. } => "library.damaged",
            Self::Forbidden { .. } => "library.forbidden",
            Self::Unverified { .. } => "library.copy-not-verified",
            Self::File { .. } => "library.file",
            Self::Unreadable { .. } => "library.unreadable",
            Self::Sqlite { .. } => "library.sqlite",
        }
    }

    /// Whether the request was refused by a rule, rather than the library being unusable.
    pub fn is_refusal(&self) -> bool {
        matches!(self, Self::Forbidden { .. } | Self::Exists { .. })
    }

    /// What to do.
    pub fn hints(&self) -> Vec<String> {
        let hint = match self {
            Self::Missing { path } => format!(
                "make one with `dyebook --library {} library init`, or name another with --library",
                path.display()
            ),
            Self::Foreign { found, .. } => {
                format!("it is {found}; name your reference library with --library")
            }
            Self::LogLost { path } => {
                return vec![
                    format!(
                        "nothing was written; put `{}-wal` back beside the library",
                        path.display()
                    ),
                    "if it is gone for good, go back to a copy with `dyebook library restore FILE`"
                        .to_owned(),
                ];
            }
            other => other.plain_hint().to_owned(),
        };
        vec![hint]
    }

    /// What to do where no name or number belongs into the sentence.
    fn plain_hint(&self) -> &'static str {
        match self {
            Self::Exists { .. } => "name another file with --library, or use the one that is there",
            Self::NoDatabase { .. } => {
                "if it was your library, go back to a copy with `dyebook library restore FILE`"
            }
            Self::Newer { .. } => "use the newer dyebook; this one leaves the file untouched",
            Self::Locked { .. } => {
                "nothing was written; wait until the other program is done and try again"
            }
            Self::ReadOnly { .. } => {
                "nothing was written; check the rights of the file and of its folder"
            }
            Self::DiskFull { .. } => "nothing was written; make room on the disk and try again",
            Self::Damaged { .. } => {
                "keep the file, and go back to a copy with `dyebook library restore FILE`"
            }
            Self::ChangedMeanwhile { .. } => "nothing was written; look at it and try again",
            Self::Unverified { .. } => "the library in use was left as it is; try an older copy",
            Self::Unreadable { .. } => {
                "run `dyebook library verify`; a copy can be restored with `dyebook library restore \
                 FILE`"
            }
            Self::File { .. } | Self::Sqlite { .. } => {
                "nothing was written; `dyebook library verify` tells whether the file is sound"
            }
            Self::Missing { .. }
            | Self::Foreign { .. }
            | Self::LogLost { .. }
            | Self::Forbidden { .. } => "nothing was written",
        }
    }

    /// Sorts an answer of the file system into words.
    pub(crate) fn from_io(path: &std::path::Path, source: std::io::Error) -> Self {
        use std::io::ErrorKind as Kind;
        let path = path.to_path_buf();
        match source.kind() {
            Kind::StorageFull | Kind::QuotaExceeded => Self::DiskFull { path },
            Kind::PermissionDenied | Kind::ReadOnlyFilesystem => Self::ReadOnly { path },
            _ => Self::File { path, source },
        }
    }

    /// Sorts an answer of SQLite into words.
    pub(crate) fn from_sqlite(path: &std::path::Path, source: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode as Code;
        let path = path.to_path_buf();
        let Some(inner) = source.sqlite_error() else {
            return Self::Sqlite { path, source };
        };
        match inner.code {
            Code::DatabaseBusy | Code::DatabaseLocked => Self::Locked { path },
            Code::ReadOnly | Code::PermissionDenied => Self::ReadOnly { path },
            Code::DiskFull => Self::DiskFull { path },
            Code::DatabaseCorrupt => Self::Damaged {
                path,
                detail: source.to_string(),
            },
            Code::NotADatabase => Self::NoDatabase { path },
            // The index of the log could not be given its size.
            Code::SystemIoFailure if inner.extended_code == SHM_SIZE => Self::DiskFull { path },
            Code::ConstraintViolation => Self::Forbidden {
                rule: rule_of(&source),
            },
            _ => Self::Sqlite { path, source },
        }
    }
}

/// SQLITE_IOERR_SHMSIZE (sqlite.org/rescode.html).
const SHM_SIZE: i32 = 4874;

fn rule_of(source: &rusqlite::Error) -> String {
    match source {
        rusqlite::Error::SqliteFailure(_, Some(said)) => said.clone(),
        other => other.to_string(),
    }
}
