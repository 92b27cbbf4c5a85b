//! A reference library that goes away with the test.

use crate::clock::stamp;
use dyebook_library::Library;
use dyebook_workflows::{approve_method, make_library};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// A library in a folder of its own, with the bundled dyes and methods.
#[derive(Debug)]
pub struct TemporaryLibrary {
    folder: TempDir,
    /// The library.
    pub library: Library,
}

impl TemporaryLibrary {
    /// A new library, its methods all drafts.
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let library = make_library(&folder.path().join("lab.sqlite"), &stamp()).unwrap();
        Self { folder, library }
    }

    /// The same with a method version in use.
    #[must_use]
    pub fn approved(mut self, version: &str) -> Self {
        let dyes = self.library.dye_register().unwrap();
        approve_method(&mut self.library, &dyes, version, "for a test", &stamp()).unwrap();
        self
    }

    /// The file.
    pub fn path(&self) -> PathBuf {
        self.folder().join("lab.sqlite")
    }

    /// The folder, for other files of the test.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }
}

impl Default for TemporaryLibrary {
    fn default() -> Self {
        Self::new()
    }
}
