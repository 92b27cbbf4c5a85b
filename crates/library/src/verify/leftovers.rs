//! Files that an interrupted program left beside the library.

use super::findings::Findings;
use crate::connect::folder_of;
use crate::copy::COPY_PREFIX;
use crate::create::NEW_PREFIX;
use crate::open::Library;

impl Library {
    /// Names the files that a killed program left: they are in nobody's way and nothing is in them
    /// that is not in a library.
    pub(super) fn note_leftovers(&self, found: &mut Findings) {
        let Ok(entries) = std::fs::read_dir(folder_of(self.path())) else {
            return;
        };
        let mut names: Vec<String> = entries
            .flatten()
            .map(|entry| entry.file_name().to_string_lossy().into_owned())
            .filter(|name| name.starts_with(COPY_PREFIX) || name.starts_with(NEW_PREFIX))
            .collect();
        names.sort();
        for name in names {
            found.note(
                &name,
                "was being made when a program was stopped; unless one is at work just now, delete \
                 it",
            );
        }
    }
}
