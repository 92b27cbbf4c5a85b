//! The program in a folder of its own, with nothing of the surroundings.

use crate::clock::{BY, NOW};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// A folder, a reference library in it, and the program to use it with.
#[derive(Debug)]
pub struct Lab {
    folder: TempDir,
    program: PathBuf,
}

/// What the program said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// Exit code.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Lab {
    /// An empty folder; there is no library yet.
    pub fn empty(program: &str) -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
            program: program.into(),
        }
    }

    /// With a library and the first bundled method in use.
    pub fn ready(program: &str) -> Self {
        let lab = Self::empty(program);
        lab.done(&["library", "init"]);
        lab.done(&[
            "method",
            "approve",
            "harrow-saline@1.0.0",
            "--reason",
            "for a test",
        ]);
        lab
    }

    /// Runs the program: environment cleared, clock fixed, home in the folder.
    pub fn run(&self, arguments: &[&str]) -> Said {
        self.run_at(NOW, arguments)
    }

    /// The same at another time.
    pub fn run_at(&self, now: &str, arguments: &[&str]) -> Said {
        let output = Command::new(&self.program)
            .args(arguments)
            .current_dir(self.folder.path())
            .env_clear()
            .env("HOME", self.folder.path())
            .env("DYEBOOK_LIBRARY", self.library())
            .env("DYEBOOK_BY", BY)
            .env("DYEBOOK_NOW", now)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        Said {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Runs the program, which must end with 0.
    pub fn done(&self, arguments: &[&str]) -> Said {
        self.ends_with(0, arguments)
    }

    /// Runs the program, which must end with this code.
    pub fn ends_with(&self, code: i32, arguments: &[&str]) -> Said {
        let said = self.run(arguments);
        assert_eq!(
            said.code,
            code,
            "dyebook {}\n{}{}",
            arguments.join(" "),
            said.out,
            said.err
        );
        said
    }

    /// Runs the program with `--json`; it must end with this code and answer one JSON document.
    pub fn answer(&self, code: i32, arguments: &[&str]) -> Value {
        let with_json: Vec<&str> = arguments.iter().copied().chain(["--json"]).collect();
        self.ends_with(code, &with_json).json()
    }

    /// Writes a file into the folder.
    pub fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::write(&path, bytes).unwrap();
        path
    }

    /// A path in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// The library's file.
    pub fn library(&self) -> PathBuf {
        self.path("lab.sqlite")
    }

    /// The digest of the newest change record: it is the same exactly when nothing was changed.
    pub fn head_of_history(&self) -> Value {
        self.answer(0, &["library", "status"])["last_change"].clone()
    }
}

impl Said {
    /// Standard output as one JSON document; anything beside it stops the test.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|error| panic!("not one JSON document: {error}\n{}", self.out))
    }
}
