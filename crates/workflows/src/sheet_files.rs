//! Files with data sheets, each read by an importer when its turn comes.

use crate::failure::Failure;
use crate::files::read_bytes;
use crate::read_files::read_file;
use dyebook_plugin::importer::Imported;
use dyebook_plugin_host::Plugins;
use std::borrow::Cow;
use std::path::PathBuf;

/// A file as handed in.
#[derive(Debug, Clone)]
pub struct HandedIn {
    /// Its name.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// A file as an importer read it.
#[derive(Debug, Clone)]
pub struct ReadFile {
    /// Importer identifier.
    pub importer: String,
    /// Importer version.
    pub importer_version: String,
    /// What it read.
    pub imported: Imported,
}

/// Files to take in. They are asked for by several threads, so that a term's files are never in
/// memory all at once.
pub trait SheetFiles: Sync {
    /// How many there are.
    fn count(&self) -> usize;

    /// One of them, read.
    ///
    /// # Errors
    /// A file that can't be read, or that its importer refuses.
    fn read(&self, number: usize) -> Result<Cow<'_, (HandedIn, ReadFile)>, Failure>;
}

/// Files that were read before.
impl<T: AsRef<[(HandedIn, ReadFile)]> + Sync> SheetFiles for T {
    fn count(&self) -> usize {
        self.as_ref().len()
    }

    #[expect(clippy::indexing_slicing, reason = "asked for below `count`")]
    fn read(&self, number: usize) -> Result<Cow<'_, (HandedIn, ReadFile)>, Failure> {
        Ok(Cow::Borrowed(&self.as_ref()[number]))
    }
}

/// Files on the disk.
#[derive(Debug, Clone, Copy)]
pub struct FilesOnDisk<'a> {
    /// The importers.
    pub plugins: &'a Plugins,
    /// The importer to take; else the one that is surest of a file.
    pub importer: Option<&'a str>,
    /// Its parameters, `K=V`.
    pub parameters: &'a [String],
    /// Where they are.
    pub paths: &'a [PathBuf],
}

impl SheetFiles for FilesOnDisk<'_> {
    fn count(&self) -> usize {
        self.paths.len()
    }

    #[expect(clippy::indexing_slicing, reason = "asked for below `count`")]
    fn read(&self, number: usize) -> Result<Cow<'_, (HandedIn, ReadFile)>, Failure> {
        let path = &self.paths[number];
        let name = path.file_name().unwrap_or(path.as_os_str());
        let handed = HandedIn {
            name: name.to_string_lossy().into_owned(),
            bytes: read_bytes(path)?,
        };
        let read = read_file(self.plugins, &handed, self.importer, self.parameters)?;
        Ok(Cow::Owned((handed, read)))
    }
}
