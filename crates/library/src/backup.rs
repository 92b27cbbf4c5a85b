//! Copies of the library.

use crate::connect::beside;
use crate::copy::{copy_beside, free_name, name_copy};
use crate::error::LibraryError;
use crate::open::Library;
use std::path::{Path, PathBuf};

impl Library {
    /// Copies the library to a new file while others go on reading and writing.
    ///
    /// # Errors
    /// [`LibraryError::Exists`] when anything is at the path; what the file system says.
    pub fn backup(&self, to: &Path) -> Result<(), LibraryError> {
        if to.symlink_metadata().is_ok() {
            return Err(LibraryError::Exists { path: to.into() });
        }
        name_copy(copy_beside(&self.connection, to)?, to)
    }

    /// The copy that is kept of a file of an older schema version. An earlier copy of another state
    /// stays; one of just this state, from a migration that was interrupted, is as good as a new
    /// one.
    pub(crate) fn copy_before_migration(&self, version: i64) -> Result<PathBuf, LibraryError> {
        let wanted = beside(self.path(), &format!(".schema-{version}.copy"));
        let made = copy_beside(&self.connection, &wanted)?;
        if wanted.exists() && same_bytes(&made, &wanted).unwrap_or(false) {
            return Ok(wanted);
        }
        let to = free_name(wanted);
        name_copy(made, &to)?;
        Ok(to)
    }
}

fn same_bytes(one: &Path, other: &Path) -> std::io::Result<bool> {
    Ok(std::fs::read(one)? == std::fs::read(other)?)
}
