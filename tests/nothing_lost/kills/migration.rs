//! A file of the oldest schema version, which is none at all, becomes one of today's: a copy of it
//! is made first, and the file is of one version or the other.

use super::{Job, There};
use dyebook_testkit::Lab;

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

/// An empty SQLite file of one page that bears our mark, byte by byte as sqlite.org/fileformat2.html
/// (1.3 The Database Header, 1.6 B-tree Pages) has it.
fn version_zero() -> Vec<u8> {
    let mut page = vec![0; 4096];
    let mut put = |at: usize, bytes: &[u8]| page[at..at + bytes.len()].copy_from_slice(bytes);
    put(0, b"SQLite format 3\0");
    put(16, &4096_u16.to_be_bytes());
    put(18, &[1, 1, 0, 64, 32, 32]);
    put(24, &1_u32.to_be_bytes());
    put(28, &1_u32.to_be_bytes());
    put(44, &4_u32.to_be_bytes());
    put(56, &1_u32.to_be_bytes());
    put(68, b"DyeB");
    put(92, &1_u32.to_be_bytes());
    put(96, &3_045_000_u32.to_be_bytes());
    put(100, &[0x0d, 0, 0, 0, 0, 0x10, 0, 0]);
    page
}

impl Job for Migration {
    fn name(&self) -> &'static str {
        "migration"
    }

    fn lab(&self) -> &Lab {
        &self.lab
    }

    fn prepare(&mut self, _round: u32) -> Vec<String> {
        for ending in ["-wal", "-shm", ".schema-0.copy"] {
            let _not_there = std::fs::remove_file(self.lab.path(&format!("lab.sqlite{ending}")));
        }
        self.lab.write("lab.sqlite", version_zero());
        ["library", "status"].map(str::to_owned).to_vec()
    }

    /// The driver has verified the file before it looks, and opening it takes the steps it lacks:
    /// what is left to see is that the file of the old version is kept.
    fn look(&self) -> There {
        let copy = std::fs::read(self.lab.path("lab.sqlite.schema-0.copy")).unwrap();
        assert_eq!(copy[60..64], [0; 4], "the copy is of the old version");
        assert_eq!(copy[68..72], *b"DyeB");
        let names = std::fs::read_dir(self.lab.folder()).unwrap();
        let copies = names
            .filter(|entry| {
                let name = entry.as_ref().unwrap().file_name();
                name.to_str().unwrap().contains(".schema-")
            })
            .count();
        assert_eq!(copies, 1, "an interrupted migration makes no second copy");
        assert_eq!(self.lab.answer(0, &["library", "status"])["format"], 1);
        There::Yes
    }
}
