//! Making the file.

use crate::connect::{connect, folder_of};
use crate::error::LibraryError;
use crate::migrations::{SCHEMA_VERSION, STEPS, migrate};
use crate::open::{Library, LibraryInfo, PATIENCE};
use rusqlite::OpenFlags;
use std::path::Path;

/// How the name of a library begins that is being made beside its place.
pub(crate) const NEW_PREFIX: &str = ".dyebook-new-";

/// Bytes of a page. The identities of several sheets fit into one; in small ones they would hang
/// over into pages of their own.
const PAGE_BYTES: u32 = 32 * 1024;

impl Library {
    /// Makes a new library file and opens it.
    ///
    /// # Errors
    /// [`LibraryError::Exists`] when anything is at the path; what SQLite and the file system say.
    pub fn create(path: &Path) -> Result<Self, LibraryError> {
        Self::create_with(path, |_library| Ok(()))
    }

    /// Makes a new library, has it filled, and only then puts it in its place: nobody ever sees
    /// half a library, and an existing file is never written over.
    ///
    /// # Errors
    /// As [`Library::create`], and what `fill` says; then there is no file.
    pub fn create_with<E: From<LibraryError>>(
        path: &Path,
        fill: impl FnOnce(&mut Self) -> Result<(), E>,
    ) -> Result<Self, E> {
        let file = |source: std::io::Error| match source.kind() {
            std::io::ErrorKind::AlreadyExists => LibraryError::Exists { path: path.into() },
            _ => LibraryError::from_io(path, source),
        };
        if path.symlink_metadata().is_ok() {
            return Err(LibraryError::Exists { path: path.into() }.into());
        }
        let folder = folder_of(path);
        std::fs::create_dir_all(folder).map_err(file)?;
        let made = tempfile::Builder::new()
            .prefix(NEW_PREFIX)
            .permissions(usual_permissions())
            .tempfile_in(folder)
            .map_err(file)?
            .into_temp_path();
        {
            let mut connection = connect(&made, path, OpenFlags::SQLITE_OPEN_READ_WRITE, PATIENCE)?;
            connection
                .pragma_update(None, "page_size", PAGE_BYTES)
                .map_err(|error| LibraryError::from_sqlite(path, error))?;
            // Nobody relies on it yet; it is forced to the disk once, before it gets its name.
            connection
                .pragma_update(None, "synchronous", "OFF")
                .map_err(|error| LibraryError::from_sqlite(path, error))?;
            migrate(&mut connection, path, STEPS)?;
            let mut library = Self::with_connection(
                connection,
                path,
                LibraryInfo {
                    schema_version: SCHEMA_VERSION,
                    journal: "delete".to_owned(),
                    network_file_system: None,
                    copied_to: None,
                    read_only: false,
                },
            );
            fill(&mut library)?;
        }
        force_to_disk(&made).map_err(file)?;
        made.persist_noclobber(path)
            .map_err(|error| file(error.error))?;
        force_to_disk(folder).map_err(file)?;
        Ok(Self::open(path)?)
    }
}

/// Waits until a file, or the names in a folder, would survive a power cut.
pub(crate) fn force_to_disk(path: &Path) -> std::io::Result<()> {
    std::fs::File::open(path)?.sync_all()
}

/// What a new file gets anywhere: the user's mask decides, so that a class share stays shared.
pub(crate) fn usual_permissions() -> std::fs::Permissions {
    std::os::unix::fs::PermissionsExt::from_mode(0o666)
}
