//! Libraries of each schema version there ever was: they open, what is migrated is copied first,
//! and what was kept and found is still what it was.
//!
//! `tests/old-libraries/schema-N.sqlite` was made by the program of that time (`dyebook demo`), and
//! `schema-N/*.csv` by its `library export --plain`; both stay as they are for ever.

use crate::PROGRAM;
use dyebook_documents::digest_bytes;
use dyebook_testkit::{Lab, is_copy};
use serde_json::Value;
use std::path::{Path, PathBuf};

/// Newest schema version; each from 1 on has its file.
const NEWEST: u64 = 3;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/old-libraries")
}

fn with_old_library(version: u64) -> Lab {
    let lab = Lab::empty(PROGRAM);
    let old = folder().join(format!("schema-{version}.sqlite"));
    lab.write("lab.sqlite", std::fs::read(old).unwrap());
    lab
}

#[test]
fn an_old_library_opens_and_a_copy_is_made_before_it_is_changed() {
    for version in 1..=NEWEST {
        let lab = with_old_library(version);
        let before = std::fs::read(lab.library()).unwrap();
        let status = lab.answer(0, &["library", "status"]);
        assert_eq!(status["format"], NEWEST);
        if version < NEWEST {
            let copy = status["copied_to"].as_str().unwrap();
            assert!(is_copy(&std::fs::read(copy).unwrap(), &before));
        } else {
            assert_eq!(status["copied_to"], Value::Null);
        }
        assert_eq!(lab.answer(0, &["library", "verify"])["sound"], true);
    }
}

#[test]
fn what_was_kept_and_found_is_still_what_it_was() {
    for version in 1..=NEWEST {
        let lab = with_old_library(version);
        lab.done(&["library", "export", "--plain", "now"]);
        let then = folder().join(format!("schema-{version}"));
        let mut compared = 0;
        for entry in std::fs::read_dir(then).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap();
            let now = std::fs::read_to_string(lab.path("now").join(name)).unwrap();
            assert_eq!(std::fs::read_to_string(&path).unwrap(), now, "{name}");
            compared += 1;
        }
        assert!(compared >= 9, "tables of then are missing");
    }
}

/// A migration that was released is never edited: libraries of that version are out there.
#[test]
fn a_migration_that_was_released_never_changes() {
    let migrations = Path::new(env!("CARGO_MANIFEST_DIR")).join("../library/migrations");
    let mut files: Vec<PathBuf> = std::fs::read_dir(migrations)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    let now: Vec<String> = files
        .iter()
        .map(|path| {
            let name = path.file_name().unwrap().to_str().unwrap();
            format!("{}  {name}", digest_bytes(&std::fs::read(path).unwrap()))
        })
        .collect();
    let then = std::fs::read_to_string(folder().join("migrations.sha256")).unwrap();
    let then: Vec<&str> = then.lines().collect();
    assert_eq!(now, then, "add a new migration and its line instead");
}
