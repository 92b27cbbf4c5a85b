//! What is in the file stays as it was recorded, and what is not is noticed.
//! The rules are the program's own (ALCOA and ISO/IEC 17025:2017 7.5 name the principles).

#![expect(
    clippy::unwrap_used,
    reason = "helpers of tests stop the test when they fail"
)]

use dyebook_documents::{MethodState, digest_value};
use dyebook_library::{Change, Library, LibraryError, Origin, Packed, SourceFile, Stamp};
use rusqlite::Connection;
use semver::Version;
use serde_json::json;
use std::path::{Path, PathBuf};

fn stamp() -> Stamp {
    Stamp {
        by: "tester".into(),
        at: "2026-10-05T08:00:00Z".parse().unwrap(),
    }
}

fn library() -> (tempfile::TempDir, PathBuf, Library) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("library.sqlite");
    let library = Library::create(&path).unwrap();
    (folder, path, library)
}

fn add_draft(change: &Change<'_>, version: &str) {
    let document = json!({ "id": "m", "version": version });
    change
        .keep_draft(
            "m",
            &Version::parse(version).unwrap(),
            &document,
            &digest_value(&document),
            Origin::Here,
            None,
        )
        .unwrap();
}

fn with_approved(library: &mut Library) {
    let change = library.change(stamp()).unwrap();
    add_draft(&change, "1.0.0");
    change.commit().unwrap();
    let kept = library
        .method("m", &Version::new(1, 0, 0))
        .unwrap()
        .unwrap();
    let change = library.change(stamp()).unwrap();
    change
        .set_method_state(&kept, MethodState::Approved, Some("checked"))
        .unwrap();
    change.commit().unwrap();
}

#[test]
fn a_change_that_is_not_committed_leaves_nothing() {
    let (_folder, _path, mut library) = library();
    let change = library.change(stamp()).unwrap();
    add_draft(&change, "1.0.0");
    drop(change);
    assert!(library.methods(None).unwrap().is_empty());
    assert!(library.history(None).unwrap().is_empty());
}

#[test]
fn sql_typed_into_the_file_cannot_touch_what_was_approved_or_recorded() {
    let (_folder, path, mut library) = library();
    with_approved(&mut library);
    let typed = Connection::open(&path).unwrap();
    for sql in [
        "UPDATE method_version SET document = '{}'",
        "UPDATE method_version SET state = 'draft'",
        "DELETE FROM method_version",
        "REPLACE INTO method_version VALUES ('m', '1.0.0', '{}', '', 'draft', 'here')",
        "UPDATE change_record SET by = 'somebody else'",
        "DELETE FROM change_record",
        "REPLACE INTO change_record SELECT seq, at, 'x', action, kind, subject, reason,
            before_digest, after_digest, previous_hash, 'h' FROM change_record WHERE seq = 1",
        "INSERT INTO change_record VALUES (9, '', '', '', '', '', NULL, NULL, NULL, '', 'h')",
    ] {
        assert!(typed.execute(sql, []).is_err(), "{sql}");
    }
    assert!(library.verify().unwrap().ok);
}

#[test]
fn whoever_takes_the_triggers_away_is_found_out() {
    let (_folder, path, mut library) = library();
    with_approved(&mut library);
    let typed = Connection::open(&path).unwrap();
    typed
        .execute_batch(
            "DROP TRIGGER method_content_is_never_changed;
             DROP TRIGGER change_record_is_never_changed;
             UPDATE method_version SET document = '{\"id\":\"m\",\"version\":\"1.0.0\",\"x\":1}';
             UPDATE change_record SET reason = 'another reason' WHERE seq = 2;",
        )
        .unwrap();
    let report = library.verify().unwrap();
    let places: Vec<&str> = report.findings.iter().map(|f| f.place.as_str()).collect();
    assert_eq!(
        places,
        ["schema", "schema", "history, record 2", "method m@1.0.0"]
    );
}

#[test]
fn a_changed_document_with_a_fitting_digest_is_not_what_was_recorded() {
    let (_folder, path, mut library) = library();
    with_approved(&mut library);
    let other = json!({ "id": "m", "version": "1.0.0", "x": 1 });
    let typed = Connection::open(&path).unwrap();
    typed
        .execute_batch("DROP TRIGGER method_content_is_never_changed")
        .unwrap();
    typed
        .execute(
            "UPDATE method_version SET document = ?1, digest = ?2",
            (other.to_string(), digest_value(&other).as_str()),
        )
        .unwrap();
    let report = library.verify().unwrap();
    let messages: Vec<&str> = report.findings.iter().map(|f| f.message.as_str()).collect();
    assert_eq!(
        messages,
        [
            "the trigger `method_content_is_never_changed` is missing",
            "is not what the history recorded last",
        ]
    );
}

#[test]
fn an_existing_file_is_never_written_over() {
    let (_folder, path, library) = library();
    let before = std::fs::read(&path).unwrap();
    assert!(matches!(
        Library::create(&path),
        Err(LibraryError::Exists { .. })
    ));
    assert!(matches!(
        library.backup(&path),
        Err(LibraryError::Exists { .. })
    ));
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn foreign_newer_and_missing_files_are_refused_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let id_of = |path: &Path| Library::open(path).unwrap_err().id();
    assert_eq!(id_of(&at("none.sqlite")), "library.missing");
    std::fs::write(
        at("text"),
        "this is no database, whatever its name may be, and long",
    )
    .unwrap();
    assert_eq!(id_of(&at("text")), "library.foreign");
    Connection::open(at("other.sqlite"))
        .unwrap()
        .execute_batch("CREATE TABLE t (x)")
        .unwrap();
    assert_eq!(id_of(&at("other.sqlite")), "library.foreign");
    Library::create(&at("newer.sqlite")).unwrap();
    let newer = Connection::open(at("newer.sqlite")).unwrap();
    newer.pragma_update(None, "user_version", 999).unwrap();
    assert_eq!(id_of(&at("newer.sqlite")), "library.newer");
}

#[test]
fn a_backup_is_whole_and_restores_with_the_old_file_kept() {
    let (folder, path, mut library) = library();
    with_approved(&mut library);
    let copy = folder.path().join("copy.sqlite");
    library.backup(&copy).unwrap();
    let change = library.change(stamp()).unwrap();
    add_draft(&change, "2.0.0");
    change.commit().unwrap();
    drop(library);
    let report = Library::restore(&copy, &path, &stamp()).unwrap();
    let restored = Library::open(&path).unwrap();
    assert_eq!(restored.methods(None).unwrap().len(), 1);
    assert!(restored.verify().unwrap().ok);
    let old = Library::open(&report.previous_kept_at.unwrap()).unwrap();
    assert_eq!(old.methods(None).unwrap().len(), 2);
}

#[test]
fn a_copy_that_does_not_verify_is_not_restored() {
    let (folder, path, mut library) = library();
    with_approved(&mut library);
    let copy = folder.path().join("copy.sqlite");
    library.backup(&copy).unwrap();
    let typed = Connection::open(&copy).unwrap();
    typed
        .execute_batch(
            "DROP TRIGGER change_record_is_never_changed;
             UPDATE change_record SET by = 'x' WHERE seq = 1;",
        )
        .unwrap();
    drop(library);
    let before = std::fs::read(&path).unwrap();
    let refused = Library::restore(&copy, &path, &stamp()).unwrap_err();
    assert_eq!(refused.id(), "library.copy-not-verified");
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn the_same_bytes_are_kept_once() {
    let (_folder, _path, mut library) = library();
    let sha256 = dyebook_documents::digest_bytes(b"rows");
    for _ in 0..2 {
        let change = library.change(stamp()).unwrap();
        let file = SourceFile {
            name: "a.csv",
            sha256: &sha256,
            bytes: &Packed::new("rows"),
        };
        change.keep_file(file).unwrap();
        change.commit().unwrap();
    }
    assert_eq!(library.status().unwrap().files, 1);
}
