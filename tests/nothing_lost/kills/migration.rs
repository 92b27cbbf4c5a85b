//! A library of the first schema version becomes one of today's: a copy of it is made first, and the
//! file is of one version or the other.

use super::{Job, There};
use dyebook_testkit::{Lab, is_copy};

pub(super) struct Migration {
    lab: Lab,
}

impl Migration {
    pub(super) fn new(program: &str) -> Self {
        Self {
            lab: Lab::empty(program),
        }
    }
}

/// A library of the first schema version, as the program of its time made it.
const OLD: &[u8] = include_bytes!("../../old-libraries/schema-1.sqlite");

impl Job for Migration {
    fn name(&self) -> &'static str {
        "migration"
    }

    fn lab(&self) -> &Lab {
        &self.lab
    }

    fn prepare(&mut self, _round: u32) -> Vec<String> {
        for ending in ["-wal", "-shm", ".schema-1.copy"] {
            let _not_there = std::fs::remove_file(self.lab.path(&format!("lab.sqlite{ending}")));
        }
        self.lab.write("lab.sqlite", OLD);
        ["library", "status"].map(str::to_owned).to_vec()
    }

    /// The driver has verified the file before it looks, and opening it takes the steps it lacks:
    /// what is left to see is that the file of the old version is kept.
    fn look(&self) -> There {
        let copy = std::fs::read(self.lab.path("lab.sqlite.schema-1.copy")).unwrap();
        assert!(is_copy(&copy, OLD), "the copy is the file as it was");
        let names = std::fs::read_dir(self.lab.folder()).unwrap();
        let copies = names
            .filter(|entry| {
                let name = entry.as_ref().unwrap().file_name();
                name.to_str().unwrap().contains(".schema-")
            })
            .count();
        assert_eq!(copies, 1, "an interrupted migration makes no second copy");
        assert_eq!(self.lab.answer(0, &["library", "status"])["format"], 3);
        There::Yes
    }
}
