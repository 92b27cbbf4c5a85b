//! A disk that is full, a file that is locked, damaged, half there or dated wrongly: each in words,
//! and nothing lost. The rules are the program's own.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of tests stop the test when they fail"
)]

use dyebook_documents::{Sheet, digest_bytes, digest_value};
use dyebook_library::{
    LaneTruth, Library, LibraryError, NewRevision, Origin, Packed, RevisionKind, SourceFile, Stamp,
    content_digest,
};
use rusqlite::Connection;
use semver::Version;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

const SHORT: Duration = Duration::from_millis(60);

fn stamp_at(at: &str) -> Stamp {
    Stamp {
        by: "tester".into(),
        at: at.parse().unwrap(),
    }
}

fn stamp() -> Stamp {
    stamp_at("2026-10-05T08:00:00Z")
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    PathBuf::from(format!("{}{ending}", path.display()))
}

fn sheet_document(group: &str) -> Value {
    json!({
        "section": "tue", "group": group, "date": "2026-09-08", "method": "m@1.0.0", "batch": null,
        "units": {"distance": "cm", "front": "cm", "width": null},
        "lanes": [{"paper": "p", "lane": 1, "label": "red", "role": "sample", "rows": []}],
        "remarks": []
    })
}

/// A library with something in every table that a person fills.
fn furnished(folder: &Path) -> PathBuf {
    let path = folder.join("library.sqlite");
    let mut library = Library::create(&path).unwrap();
    keep_method(&mut library, "1.0.0");
    keep_sheet(&mut library, "heron");
    let change = library.change(stamp()).unwrap();
    change
        .keep_dye("red", &json!({"id": "red", "names": ["a red"]}), None)
        .unwrap();
    let truth = LaneTruth {
        sheet: "heron".into(),
        paper: "p".into(),
        lane: 1,
        dyes: vec!["red".into()],
    };
    change.keep_truth(&truth, None).unwrap();
    change.commit().unwrap();
    path
}

fn keep_method(library: &mut Library, version: &str) {
    let document = json!({"id": "m", "version": version});
    let change = library.change(stamp()).unwrap();
    let version = Version::parse(version).unwrap();
    let digest = digest_value(&document);
    change
        .keep_draft("m", &version, &document, &digest, Origin::Here, None)
        .unwrap();
    change.commit().unwrap();
}

fn keep_sheet(library: &mut Library, group: &str) {
    let change = library.change(stamp()).unwrap();
    let sha256 = digest_bytes(group.as_bytes());
    change
        .keep_file(SourceFile {
            name: "sheet.csv",
            sha256: &sha256,
            bytes: &Packed::new(group),
        })
        .unwrap();
    let document = sheet_document(group);
    let sheet: Sheet = serde_json::from_value(document.clone()).unwrap();
    change
        .keep_revision(&NewRevision {
            id: group,
            sheet: &sheet,
            document: &Packed::new(document.to_string()),
            digest: &content_digest(&document),
            kind: RevisionKind::Imported,
            file_sha256: sha256.as_str(),
            importer: "sheet 0.1.0",
            reading: &json!({"separator": ",", "decimal": "."}),
            method_id: "m",
            method_version: &Version::new(1, 0, 0),
            state_when_bound: dyebook_documents::MethodState::Approved,
            origin: Origin::Here,
            reason: None,
        })
        .unwrap();
    change.commit().unwrap();
}

#[test]
fn a_library_with_everything_in_it_verifies() {
    let folder = tempfile::tempdir().unwrap();
    let report = Library::open(&furnished(folder.path()))
        .unwrap()
        .verify()
        .unwrap();
    assert_eq!(report.findings, []);
    assert_eq!(report.notes, []);
}

/// Every byte of every page in turn would take minutes, and most of a small file is zeros that were
/// never written: of them every 2,003rd is flipped, of the other bytes every 41st.
#[test]
fn a_flipped_byte_is_found_or_touches_nothing_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    let sound = std::fs::read(&path).unwrap();
    let kept = everything(&path);
    let flipped = folder.path().join("flipped.sqlite");
    let (mut found, mut harmless) = (0, 0);
    let written = (0..sound.len()).filter(|at| sound[*at] != 0);
    let anywhere = (0..sound.len()).step_by(2_003);
    for at in written.step_by(41).chain(anywhere) {
        let mut bytes = sound.clone();
        bytes[at] ^= 0x15;
        std::fs::write(&flipped, &bytes).unwrap();
        for ending in ["-wal", "-shm"] {
            let _not_there = std::fs::remove_file(beside(&flipped, ending));
        }
        match Library::open_with_patience(&flipped, SHORT).and_then(|library| library.verify()) {
            Ok(report) if report.ok => {
                assert_eq!(everything(&flipped), kept, "byte {at} was not noticed");
                harmless += 1;
            }
            Ok(_) => found += 1,
            Err(error) => {
                assert!(!error.is_refusal(), "byte {at}: {error}");
                assert!(!error.hints().is_empty());
                found += 1;
            }
        }
    }
    // Free space within pages is most of a small file.
    assert!(
        found > 40 && harmless > 40,
        "{found} found, {harmless} harmless"
    );
}

/// All rows of all tables as text; `None` when they can't be read.
fn everything(path: &Path) -> Option<String> {
    use std::fmt::Write;
    let connection = Connection::open(path).ok()?;
    let mut out = String::new();
    for table in [
        "change_record",
        "dye",
        "method_version",
        "source_file",
        "sheet",
        "sheet_revision",
        "lane_truth",
        "identification",
        "exclusion",
        "applicability",
        "checklist_item",
    ] {
        let mut statement = connection.prepare(&format!("SELECT * FROM {table}")).ok()?;
        let columns = statement.column_count();
        let mut rows = statement.query([]).ok()?;
        while let Some(row) = rows.next().ok()? {
            for column in 0..columns {
                let value: rusqlite::types::Value = row.get(column).ok()?;
                write!(out, "{value:?} ").ok()?;
            }
        }
    }
    Some(out)
}

#[test]
fn what_was_taken_out_of_the_file_is_missed() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    let typed = Connection::open(&path).unwrap();
    typed.execute("DELETE FROM dye", []).unwrap();
    typed.execute("DELETE FROM lane_truth", []).unwrap();
    typed
        .execute("UPDATE method_version SET state = 'approved'", [])
        .unwrap();
    let report = Library::open(&path).unwrap().verify().unwrap();
    let found: Vec<String> = report
        .findings
        .iter()
        .map(|finding| format!("{}: {}", finding.place, finding.message))
        .collect();
    assert_eq!(
        found,
        [
            "dye red: is recorded in the history and is not there any more",
            "method m@1.0.0: is approved, and the history says draft",
            "truth of sheet heron: is recorded in the history and is not there any more",
        ]
    );
}

#[test]
fn a_locked_file_is_waited_for_and_then_named() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    let mut first = Library::open(&path).unwrap();
    let change = first.change(stamp()).unwrap();
    let mut second = Library::open_with_patience(&path, SHORT).unwrap();
    // Readers don't wait for the writer.
    assert_eq!(second.status().unwrap().dyes, 1);
    let begin = Instant::now();
    let error = second.change(stamp()).unwrap_err();
    assert!(begin.elapsed() >= SHORT);
    assert_eq!(error.id(), "library.locked");
    change.commit().unwrap();
    second.change(stamp()).unwrap().commit().unwrap();
}

#[test]
fn a_restore_waits_for_those_who_have_the_library_open() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    let copy = folder.path().join("copy.sqlite");
    let mut open = Library::open(&path).unwrap();
    open.backup(&copy).unwrap();
    keep_method(&mut open, "2.0.0");
    let error = Library::restore_with_patience(&copy, &path, &stamp(), SHORT).unwrap_err();
    assert_eq!(error.id(), "library.locked");
    // It goes on as if nothing had been asked.
    keep_method(&mut open, "3.0.0");
    assert!(open.verify().unwrap().ok);
    drop(open);
    assert_eq!(
        Library::open(&path).unwrap().methods(None).unwrap().len(),
        3
    );
    Library::restore_with_patience(&copy, &path, &stamp(), SHORT).unwrap();
    assert_eq!(
        Library::open(&path).unwrap().methods(None).unwrap().len(),
        1
    );
}

#[test]
fn restoring_only_reads_the_copy_and_keeps_every_library_it_replaces() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    let copy = folder.path().join("copy.sqlite");
    Library::open(&path).unwrap().backup(&copy).unwrap();
    let before = std::fs::read(&copy).unwrap();
    let mut kept = Vec::new();
    for version in ["2.0.0", "3.0.0"] {
        keep_method(&mut Library::open(&path).unwrap(), version);
        // The same second both times.
        let report = Library::restore(&copy, &path, &stamp()).unwrap();
        kept.push(report.previous_kept_at.unwrap());
    }
    assert_eq!(std::fs::read(&copy).unwrap(), before);
    assert_ne!(kept[0], kept[1]);
    for (kept, version) in kept.iter().zip([2, 3]) {
        let library = Library::open(kept).unwrap();
        let there = library.method("m", &Version::new(version, 0, 0)).unwrap();
        assert!(there.is_some(), "{version} is lost");
        assert!(library.verify().unwrap().ok);
    }
}

#[test]
fn a_damaged_library_is_replaced_and_kept_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    let copy = folder.path().join("copy.sqlite");
    Library::open(&path).unwrap().backup(&copy).unwrap();
    for damage in [0..16, 100..2000] {
        let mut bytes = std::fs::read(&path).unwrap();
        bytes[damage.clone()].fill(0x55);
        std::fs::write(&path, &bytes).unwrap();
        let report = Library::restore(&copy, &path, &stamp()).unwrap();
        assert!(Library::open(&path).unwrap().verify().unwrap().ok);
        let kept = std::fs::read(report.previous_kept_at.unwrap()).unwrap();
        assert_eq!(kept[damage.clone()], bytes[damage]);
    }
}

#[test]
fn another_program_s_file_is_not_replaced_by_a_restore() {
    let folder = tempfile::tempdir().unwrap();
    let copy = furnished(folder.path());
    let other = folder.path().join("other.sqlite");
    let foreign = Connection::open(&other).unwrap();
    foreign.execute_batch("CREATE TABLE t (x)").unwrap();
    drop(foreign);
    let before = std::fs::read(&other).unwrap();
    let error = Library::restore(&copy, &other, &stamp()).unwrap_err();
    assert_eq!(error.id(), "library.foreign");
    assert_eq!(std::fs::read(&other).unwrap(), before);
    let itself = Library::restore(&copy, &copy, &stamp()).unwrap_err();
    assert_eq!(itself.id(), "library.forbidden");
}

/// A program that was killed leaves the log; then somebody takes it away.
fn killed_with_a_log(folder: &Path) -> PathBuf {
    let path = furnished(folder);
    let mut library = Library::open(&path).unwrap();
    keep_method(&mut library, "2.0.0");
    let left = folder.join("left.sqlite");
    for ending in ["", "-wal", "-shm"] {
        std::fs::copy(beside(&path, ending), beside(&left, ending)).unwrap();
    }
    left
}

#[test]
fn a_log_that_was_left_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let library = Library::open(&killed_with_a_log(folder.path())).unwrap();
    assert_eq!(library.methods(None).unwrap().len(), 2);
}

#[test]
fn a_log_that_is_gone_is_missed_and_can_be_put_back() {
    let folder = tempfile::tempdir().unwrap();
    let left = killed_with_a_log(folder.path());
    let elsewhere = folder.path().join("elsewhere");
    std::fs::rename(beside(&left, "-wal"), &elsewhere).unwrap();
    let before = std::fs::read(&left).unwrap();
    let error = Library::open(&left).unwrap_err();
    assert_eq!(error.id(), "library.log-lost");
    assert!(error.hints()[0].contains("put"), "{:?}", error.hints());
    assert_eq!(
        std::fs::read(&left).unwrap(),
        before,
        "the file is left as it is"
    );
    std::fs::rename(&elsewhere, beside(&left, "-wal")).unwrap();
    let library = Library::open(&left).unwrap();
    assert_eq!(library.methods(None).unwrap().len(), 2);
}

#[test]
fn what_was_acknowledged_is_in_the_file_itself_and_not_only_in_the_log() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    // Somebody else has the library open all the time, so that closing does not empty the log.
    let reader = Library::open(&path).unwrap();
    assert_eq!(reader.methods(None).unwrap().len(), 1);
    keep_method(&mut Library::open(&path).unwrap(), "2.0.0");
    let alone = folder.path().join("alone.sqlite");
    std::fs::copy(&path, &alone).unwrap();
    assert_eq!(
        Library::open(&alone).unwrap().methods(None).unwrap().len(),
        2
    );
}

#[test]
fn a_clock_that_went_back_is_recorded_and_named_and_refuses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    let mut library = Library::open(&path).unwrap();
    let change = library.change(stamp_at("1999-01-01T00:00:00Z")).unwrap();
    change
        .keep_dye("blue", &json!({"id": "blue"}), None)
        .unwrap();
    change.commit().unwrap();
    let report = library.verify().unwrap();
    assert!(report.ok, "{:?}", report.findings);
    assert_eq!(report.notes.len(), 1);
    assert!(
        report.notes[0].message.contains("1999-01-01"),
        "{:?}",
        report.notes
    );
    assert!(report.notes[0].message.contains("the clock"));
}

#[test]
fn a_file_left_by_an_interrupted_copy_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    std::fs::write(folder.path().join(".dyebook-copy-abc"), "half").unwrap();
    let report = Library::open(&path).unwrap().verify().unwrap();
    assert!(report.ok);
    assert_eq!(report.notes[0].place, ".dyebook-copy-abc");
}

#[test]
fn a_version_that_another_program_moved_on_is_not_moved_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    let mut library = Library::open(&path).unwrap();
    let seen = library
        .method("m", &Version::new(1, 0, 0))
        .unwrap()
        .unwrap();
    let approved = dyebook_documents::MethodState::Approved;
    let change = library.change(stamp()).unwrap();
    change
        .set_method_state(&seen, approved, Some("first"))
        .unwrap();
    change.commit().unwrap();
    let change = library.change(stamp()).unwrap();
    let error = change
        .set_method_state(&seen, approved, Some("second"))
        .unwrap_err();
    assert!(
        matches!(error, LibraryError::ChangedMeanwhile { .. }),
        "{error}"
    );
}

#[test]
fn a_backup_made_while_others_write_is_one_state_of_the_library() {
    let folder = tempfile::tempdir().unwrap();
    let path = furnished(folder.path());
    let stop = std::sync::atomic::AtomicBool::new(false);
    std::thread::scope(|threads| {
        threads.spawn(|| {
            let mut library = Library::open(&path).unwrap();
            let mut number = 10;
            while !stop.load(std::sync::atomic::Ordering::Relaxed) {
                keep_method(&mut library, &format!("{number}.0.0"));
                number += 1;
            }
        });
        for copy in 0..8 {
            let copy = folder.path().join(format!("copy-{copy}.sqlite"));
            Library::open(&path).unwrap().backup(&copy).unwrap();
            assert!(Library::open(&copy).unwrap().verify().unwrap().ok);
        }
        stop.store(true, std::sync::atomic::Ordering::Relaxed);
    });
}

#[test]
fn a_library_that_could_not_be_filled_is_not_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("library.sqlite");
    let failed = Library::create_with(&path, |_library| {
        Err(LibraryError::DiskFull { path: "x".into() })
    });
    assert!(failed.is_err());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
