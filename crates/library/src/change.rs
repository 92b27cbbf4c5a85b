//! One change to the library: a transaction that leaves change records.

use crate::error::LibraryError;
use crate::history::{Link, append};
use crate::log_to_disk::LogToDisk;
use dyebook_documents::Digest;
use jiff::Timestamp;
use rusqlite::Transaction;
use std::cell::RefCell;
use std::path::{Path, PathBuf};

/// Who makes a change, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    /// Who.
    pub by: String,
    /// When, in UTC.
    pub at: Timestamp,
}

/// A change under way. Dropped without [`Change::commit`], it leaves nothing.
#[derive(Debug)]
pub struct Change<'a> {
    pub(crate) transaction: Transaction<'a>,
    path: PathBuf,
    stamp: Stamp,
    /// The time of the change, as kept.
    at: String,
    /// The last change record, once this change has made one.
    last: RefCell<Option<Link>>,
    /// While the change goes on, where there is a log.
    _log: Option<LogToDisk>,
}

/// What a change did to one thing.
#[derive(Debug, Clone)]
pub(crate) struct Deed<'a> {
    pub(crate) action: &'a str,
    pub(crate) kind: &'a str,
    pub(crate) subject: &'a str,
    pub(crate) reason: Option<&'a str>,
    pub(crate) before: Option<&'a Digest>,
    pub(crate) after: Option<&'a Digest>,
}

impl<'a> Change<'a> {
    pub(crate) fn new(
        transaction: Transaction<'a>,
        path: &Path,
        stamp: Stamp,
        log: Option<LogToDisk>,
    ) -> Self {
        Self {
            transaction,
            path: path.to_path_buf(),
            at: stamp.at.to_string(),
            stamp,
            last: RefCell::new(None),
            _log: log,
        }
    }

    /// Keeps the change.
    ///
    /// # Errors
    /// What SQLite says, e.g. a full disk; then nothing of the change is kept.
    pub fn commit(self) -> Result<(), LibraryError> {
        let path = self.path;
        self.transaction
            .commit()
            .map_err(|error| LibraryError::from_sqlite(&path, error))
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Who and when.
    pub fn stamp(&self) -> &Stamp {
        &self.stamp
    }

    /// The time of the change, as kept.
    pub(crate) fn at(&self) -> &str {
        &self.at
    }

    pub(crate) fn record(&self, deed: &Deed<'_>) -> Result<(), LibraryError> {
        let append = || {
            let last = match self.last.take() {
                Some(last) => last,
                None => Link::last(&self.transaction)?,
            };
            append(&self.transaction, &self.stamp.by, &self.at, deed, &last)
        };
        let appended = append().map_err(|error| self.sqlite(error))?;
        self.last.replace(Some(appended));
        Ok(())
    }

    pub(crate) fn sqlite(&self, error: rusqlite::Error) -> LibraryError {
        LibraryError::from_sqlite(&self.path, error)
    }
}

#[cfg(test)]
mod tests {
    use super::Stamp;
    use crate::open::Library;
    use serde_json::json;

    #[test]
    fn a_full_disk_is_named_and_nothing_of_the_change_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let mut library = Library::create(&folder.path().join("library.sqlite")).unwrap();
        // SQLite answers a file that may not grow as it answers a full disk (sqlite.org/pragma.html,
        // max_page_count: "SQLITE_FULL").
        library
            .connection
            .pragma_update_and_check(None, "max_page_count", 40, |_| Ok(()))
            .unwrap();
        let stamp = Stamp {
            by: "tester".into(),
            at: "2026-10-05T08:00:00Z".parse().unwrap(),
        };
        let change = library.change(stamp.clone()).unwrap();
        change
            .keep_dye("small", &json!({"id": "small"}), None)
            .unwrap();
        let big = json!({"id": "big", "text": "x".repeat(1 << 20)});
        let error = change.keep_dye("big", &big, None).unwrap_err();
        assert_eq!(error.id(), "library.disk-full");
        assert!(!error.is_refusal());
        assert!(error.hints()[0].contains("make room"));
        drop(change);
        assert!(library.history(None).unwrap().is_empty());
        assert!(library.verify().unwrap().ok);
        let change = library.change(stamp).unwrap();
        change
            .keep_dye("small", &json!({"id": "small"}), None)
            .unwrap();
        change.commit().unwrap();
        assert_eq!(library.status().unwrap().dyes, 1);
    }
}
