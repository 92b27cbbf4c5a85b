//! Everything in the library as CSV and JSON files that read without this program: what a lab
//! keeps at the end of a term, or takes along when it stops using dyebook.

mod documents;
mod file_name;
mod index;
mod lists;

use crate::failure::{Failure, FailureClass};
use dyebook_library::{Library, Stamp};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// What `library export --plain` wrote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlainExport {
    /// The folder.
    pub folder: PathBuf,
    /// The files in it.
    pub files: Vec<String>,
}

/// Writes everything into a folder that is not there yet, or is empty: whole, or not at all.
///
/// # Errors
/// A folder that holds something, what the file system says, and what the library says.
pub fn export_plain(
    library: &Library,
    folder: &Path,
    stamp: &Stamp,
) -> Result<PlainExport, Failure> {
    if folder.symlink_metadata().is_ok() && !is_empty_folder(folder) {
        return Err(Failure::refused(
            "file.exists",
            format!("`{}` exists already and is left as it is", folder.display()),
        )
        .hint("name a folder that is not there yet"));
    }
    let beside = folder
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let made = tempfile::Builder::new()
        .prefix(".dyebook-text-")
        .tempdir_in(beside)
        .map_err(|error| not_written(folder, &error))?;
    let mut pile = Pile {
        folder: made.path().join("export"),
        shown: folder,
        names: BTreeSet::new(),
        files: Vec::new(),
    };
    documents::write(library, &mut pile)?;
    lists::write(library, &mut pile)?;
    index::write(library, stamp, &mut pile)?;
    std::fs::rename(&pile.folder, folder).map_err(|error| not_written(folder, &error))?;
    Ok(PlainExport {
        folder: folder.into(),
        files: pile.files,
    })
}

fn is_empty_folder(path: &Path) -> bool {
    !path.is_symlink() && std::fs::read_dir(path).is_ok_and(|mut entries| entries.next().is_none())
}

fn not_written(folder: &Path, error: &std::io::Error) -> Failure {
    Failure::refused(
        "file.not-writable",
        format!("`{}` can't be written: {error}", folder.display()),
    )
}

/// The files written so far.
struct Pile<'a> {
    folder: PathBuf,
    shown: &'a Path,
    /// In lower case: names that differ in case only are one file on some systems.
    names: BTreeSet<String>,
    files: Vec<String>,
}

impl Pile<'_> {
    /// Writes a file whose name may hold anything: it is made safe, and told apart from those that
    /// are there. Answers its name within the export.
    fn add(
        &mut self,
        sub_folder: &str,
        name: &str,
        ending: &str,
        bytes: &[u8],
    ) -> Result<String, Failure> {
        let safe = file_name::safe(name);
        let mut within = join(sub_folder, &safe, ending);
        let mut number = 1;
        while self.names.contains(&within.to_lowercase()) {
            number += 1;
            within = join(sub_folder, &format!("{safe}-{number}"), ending);
        }
        let path = self.folder.join(&within);
        let write = || -> std::io::Result<()> {
            std::fs::create_dir_all(path.parent().unwrap_or(&self.folder))?;
            std::fs::write(&path, bytes)
        };
        write().map_err(|error| not_written(self.shown, &error))?;
        self.names.insert(within.to_lowercase());
        self.files.push(within.clone());
        Ok(within)
    }

    fn add_table(&mut self, name: &str, rows: &[Vec<String>]) -> Result<(), Failure> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        for row in rows {
            writer.write_record(row).map_err(bug)?;
        }
        let bytes = writer.into_inner().map_err(bug)?;
        self.add("", name, ".csv", &bytes)?;
        Ok(())
    }
}

fn join(sub_folder: &str, name: &str, ending: &str) -> String {
    if sub_folder.is_empty() {
        format!("{name}{ending}")
    } else {
        format!("{sub_folder}/{name}{ending}")
    }
}

#[expect(clippy::needless_pass_by_value, reason = "used as `map_err(bug)`")]
fn bug(error: impl ToString) -> Failure {
    Failure::new(FailureClass::Bug, "export.not-writable", error.to_string())
}
