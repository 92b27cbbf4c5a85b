//! Which plug-ins a person approved, by the digests of library and manifest.
//!
//! The file belongs to the user, or to the machine's administrator. It never stands in a reference
//! library: a file that somebody sends must not be able to approve code.

use std::fs;
use std::io::{self, Write};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::limits::Limits;

/// Runs in which a plug-in was switched off, one after the other, before it is quarantined.
const MOST_BAD_RUNS: u32 = 3;

/// Where approvals stand.
#[derive(Clone, Debug, Default)]
pub struct ApprovalFiles {
    /// The user's own; the only one that is written.
    pub user: Option<PathBuf>,
    /// The administrator's.
    pub system: Option<PathBuf>,
    /// Leave the user's file alone.
    pub system_only: bool,
}

/// One approval.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Approval {
    /// The plug-in's id.
    pub id: String,
    /// Its version.
    pub version: String,
    /// Target of the library.
    pub target: String,
    /// SHA-256 of the library.
    pub library_sha256: String,
    /// Its size.
    pub library_size: u64,
    /// SHA-256 of the manifest.
    pub manifest_sha256: String,
    /// When, in UTC.
    pub approved_at: String,
    /// By whom.
    pub approved_by: String,
    /// Why, or after which look.
    #[serde(default)]
    pub note: Option<String>,
    /// Limits granted.
    pub limits: Limits,
    /// Runs in a row in which it was switched off.
    #[serde(default)]
    pub bad_runs: u32,
}

impl Approval {
    /// Did it fail in so many runs that a person has to look again?
    pub fn quarantined(&self) -> bool {
        self.bad_runs >= MOST_BAD_RUNS
    }
}

/// Why approvals can't be read or written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ApprovalError {
    /// The file can't be read.
    #[error("the approvals in `{path}` can't be read: {text}")]
    Unreadable {
        /// The file.
        path: String,
        /// Why.
        text: String,
    },
    /// The file can't be written.
    #[error("the approvals in `{path}` can't be written: {text}")]
    Unwritable {
        /// The file.
        path: String,
        /// Why.
        text: String,
    },
    /// There is no file to write to.
    #[error("approvals are made by the administrator alone on this machine")]
    NoUserFile,
}

#[derive(Debug, Default, Serialize, Deserialize)]
struct Document {
    approvals: u32,
    entries: Vec<Approval>,
}

impl ApprovalFiles {
    /// All approvals, the administrator's first.
    ///
    /// # Errors
    /// When a file is there and can't be read: then nothing counts as approved.
    pub fn read(&self) -> Result<Vec<Approval>, ApprovalError> {
        let mut all = Vec::new();
        for path in self.system.iter().chain(self.user_file()) {
            all.extend(read(path)?.entries);
        }
        Ok(all)
    }

    /// Writes an approval in the place of all earlier ones of that id.
    ///
    /// # Errors
    /// When the user's file can't be read or written.
    pub fn put(&self, approval: Approval) -> Result<(), ApprovalError> {
        self.change(|entries| {
            entries.retain(|entry| entry.id != approval.id);
            entries.push(approval);
            entries.sort_by(|a, b| a.id.cmp(&b.id));
        })
    }

    /// Removes the approvals of an id from the user's file; how many there were.
    ///
    /// # Errors
    /// When the user's file can't be read or written.
    pub fn remove(&self, id: &str) -> Result<usize, ApprovalError> {
        let mut removed = 0;
        self.change(|entries| {
            let before = entries.len();
            entries.retain(|entry| entry.id != id);
            removed = before - entries.len();
        })?;
        Ok(removed)
    }

    /// Notes how a run with the plug-in ended. A plug-in that the administrator approved is not
    /// written about: the user's file is the only one to write to.
    ///
    /// # Errors
    /// When the user's file can't be read or written.
    pub fn note_run(&self, id: &str, switched_off: bool) -> Result<(), ApprovalError> {
        let Some(path) = self.user_file() else {
            return Ok(());
        };
        let known = read(path)?.entries;
        let Some(entry) = known.iter().find(|entry| entry.id == id) else {
            return Ok(());
        };
        let bad_runs = if switched_off { entry.bad_runs + 1 } else { 0 };
        if bad_runs == entry.bad_runs {
            return Ok(());
        }
        self.change(|entries| {
            for entry in entries.iter_mut().filter(|entry| entry.id == id) {
                entry.bad_runs = bad_runs;
            }
        })
    }

    fn user_file(&self) -> Option<&PathBuf> {
        self.user.as_ref().filter(|_| !self.system_only)
    }

    fn change(&self, change: impl FnOnce(&mut Vec<Approval>)) -> Result<(), ApprovalError> {
        let path = self.user_file().ok_or(ApprovalError::NoUserFile)?;
        let mut document = read(path)?;
        document.approvals = 1;
        change(&mut document.entries);
        write(path, &document).map_err(|error| ApprovalError::Unwritable {
            path: path.display().to_string(),
            text: error.to_string(),
        })
    }
}

impl ApprovalError {
    /// The stable code.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Unreadable { .. } => "approvals.unreadable",
            Self::Unwritable { .. } => "approvals.unwritable",
            Self::NoUserFile => "approvals.administrator-only",
        }
    }

    /// What to do.
    pub fn hints(&self) -> Vec<String> {
        match self {
            Self::Unreadable { path, .. } => {
                vec![format!(
                    "mend or remove `{path}`; without it nothing is approved"
                )]
            }
            Self::Unwritable { .. } | Self::NoUserFile => Vec::new(),
        }
    }
}

fn read(path: &Path) -> Result<Document, ApprovalError> {
    let unreadable = |text: String| ApprovalError::Unreadable {
        path: path.display().to_string(),
        text,
    };
    match fs::read(path) {
        Ok(bytes) => serde_json::from_slice(&bytes).map_err(|error| unreadable(error.to_string())),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Document::default()),
        Err(error) => Err(unreadable(error.to_string())),
    }
}

/// Writes beside and renames, so that a reader sees the old file or the new one.
fn write(path: &Path, document: &Document) -> io::Result<()> {
    let folder = path.parent().ok_or(io::ErrorKind::InvalidInput)?;
    fs::create_dir_all(folder)?;
    let mut file = tempfile::Builder::new()
        .prefix(".approvals-")
        .tempfile_in(folder)?;
    file.as_file()
        .set_permissions(fs::Permissions::from_mode(0o600))?;
    serde_json::to_writer_pretty(&mut file, document)?;
    file.write_all(b"\n")?;
    file.as_file().sync_all()?;
    file.persist(path)?;
    Ok(())
}
