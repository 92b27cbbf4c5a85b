//! A disk that is full, a folder that can't be written, a library that another program holds: the
//! real program says so, ends with 4 and has lost nothing.

use crate::PROGRAM;
use dyebook_library::Library;
use dyebook_testkit::{BY, Lab, NOW, Said, SheetCsv, stamp};
use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Command, Stdio};

/// The program as an ordinary person runs it: rights don't hold for the administrator, as whom
/// tests run in a container.
fn run_as_ordinary_person(lab: &Lab, arguments: &[&str]) -> Said {
    let mut command = in_lab(lab, PROGRAM);
    command.args(arguments);
    if rights_do_not_hold() {
        command.uid(65_534).gid(65_534);
    }
    said(command)
}

fn rights_do_not_hold() -> bool {
    let probe = tempfile::tempdir().unwrap();
    set_mode(probe.path(), 0o555);
    std::fs::write(probe.path().join("probe"), "").is_ok()
}

fn in_lab(lab: &Lab, program: &str) -> Command {
    let mut command = Command::new(program);
    command
        .current_dir(lab.folder())
        .env_clear()
        .env("PATH", "/usr/bin:/bin")
        .env("HOME", lab.folder())
        .env("DYEBOOK_LIBRARY", lab.library())
        .env("DYEBOOK_BY", BY)
        .env("DYEBOOK_NOW", NOW)
        .stdin(Stdio::null());
    command
}

fn said(mut command: Command) -> Said {
    let output = command.output().unwrap();
    Said {
        code: output.status.code().unwrap_or(-1),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

fn set_mode(path: &Path, mode: u32) {
    std::fs::set_permissions(path, PermissionsExt::from_mode(mode)).unwrap();
}

fn lab_with_new_sheet() -> Lab {
    let lab = Lab::ready(PROGRAM);
    set_mode(lab.folder(), 0o777);
    lab.write("heron.csv", SheetCsv::clean("heron").text());
    lab
}

fn refused_for_writing(lab: &Lab) {
    let before = std::fs::read(lab.library()).unwrap();
    let refused = run_as_ordinary_person(lab, &["sheet", "import", "heron.csv"]);
    assert_eq!(refused.code, 4, "{refused:?}");
    assert!(
        refused.err.starts_with("error[library.read-only]"),
        "{refused:?}"
    );
    assert!(
        refused.err.contains("hint: nothing was written"),
        "{refused:?}"
    );
    for command in [
        ["library", "status"],
        ["method", "list"],
        ["library", "verify"],
    ] {
        let read = run_as_ordinary_person(lab, &command);
        assert_eq!(read.code, 0, "{read:?}");
    }
    assert_eq!(std::fs::read(lab.library()).unwrap(), before);
}

#[test]
fn a_file_that_can_t_be_written_is_read() {
    let lab = lab_with_new_sheet();
    set_mode(&lab.library(), 0o444);
    refused_for_writing(&lab);
}

#[test]
fn a_folder_that_can_t_be_written_is_read() {
    let lab = lab_with_new_sheet();
    set_mode(&lab.library(), 0o666);
    set_mode(lab.folder(), 0o555);
    refused_for_writing(&lab);
    set_mode(lab.folder(), 0o755);
}

/// Files that may not grow past so many blocks of 512 bytes answer a write as a full disk does,
/// with an error in the middle of it; the signal that would end the program is ignored.
fn with_limit(lab: &Lab, blocks: u64, arguments: &[&str]) -> Said {
    let mut command = in_lab(lab, "/bin/sh");
    command.arg("-c").arg(format!(
        "trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\""
    ));
    command.arg(PROGRAM).args(arguments);
    said(command)
}

#[test]
fn a_file_that_may_not_grow_loses_nothing() {
    let lab = lab_with_new_sheet();
    let head = lab.head_of_history();
    let mut refused = 0;
    // From no room at all to enough: the write fails at many places.
    for blocks in (0..800).step_by(20) {
        let said = with_limit(&lab, blocks, &["sheet", "import", "heron.csv", "--quiet"]);
        if said.code == 0 {
            break;
        }
        assert_eq!(said.code, 4, "{blocks}: {said:?}");
        assert!(
            said.err.contains("hint: nothing was written"),
            "{blocks}: {said:?}"
        );
        assert_eq!(lab.head_of_history(), head, "{blocks}");
        assert_eq!(lab.answer(0, &["library", "verify"])["sound"], true);
        refused += 1;
    }
    assert!(refused >= 3, "the limit never bit");
    lab.done(&["sheet", "import", "heron.csv"]);
}

#[test]
fn a_copy_that_does_not_fit_is_not_left() {
    let lab = lab_with_new_sheet();
    let size = std::fs::metadata(lab.library()).unwrap().len() / 512;
    for command in [
        vec!["library", "backup", "copy.sqlite"],
        vec![
            "library",
            "export",
            "bundle.json",
            "--method",
            "harrow-saline",
        ],
        vec!["library", "export", "--plain", "plain"],
    ] {
        let small = if command.contains(&"backup") {
            size / 2
        } else {
            2
        };
        let said = with_limit(&lab, small, &command);
        assert!([3, 4].contains(&said.code), "{said:?}");
        let mut names: Vec<String> = std::fs::read_dir(lab.folder())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .filter(|name| !name.ends_with("-wal") && !name.ends_with("-shm"))
            .collect();
        names.sort();
        assert_eq!(names, ["heron.csv", "lab.sqlite"], "{command:?}");
        lab.done(&command);
        for made in ["copy.sqlite", "bundle.json"] {
            let _not_made = std::fs::remove_file(lab.path(made));
        }
    }
}

/// A real full disk, where the test may mount one; the limit above stands in elsewhere.
#[test]
fn a_disk_that_is_full_is_named_and_loses_nothing() {
    let lab = lab_with_new_sheet();
    let disk = lab.path("disk");
    std::fs::create_dir(&disk).unwrap();
    let size = std::fs::metadata(lab.library()).unwrap().len() + 110 * 1024;
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", &format!("size={size}"), "none"])
        .arg(&disk)
        .stderr(Stdio::null())
        .status();
    if !mounted.is_ok_and(|status| status.success()) {
        let copy = with_limit(&lab, 20, &["library", "backup", "disk/lab.sqlite"]);
        assert_eq!(copy.code, 4, "{copy:?}");
        return;
    }
    let on_disk = disk.join("lab.sqlite");
    std::fs::copy(lab.library(), &on_disk).unwrap();
    let library = on_disk.to_str().unwrap();
    let run = |arguments: &[&str]| {
        let all: Vec<&str> = ["--library", library]
            .into_iter()
            .chain(arguments.iter().copied())
            .collect();
        lab.run(&all)
    };
    let mut named = 0;
    let mut taken = 0;
    for group in 0..40 {
        lab.write("teal.csv", SheetCsv::clean(&format!("teal-{group}")).text());
        let said = run(&["sheet", "import", "teal.csv"]);
        match said.code {
            0 | 1 => taken += 1,
            4 => {
                assert!(said.err.starts_with("error[library.disk-full]"), "{said:?}");
                assert!(said.err.contains("make room"), "{said:?}");
                named += 1;
            }
            _ => panic!("{said:?}"),
        }
        if named == 3 {
            break;
        }
    }
    let backup = run(&[
        "library",
        "backup",
        disk.join("copy.sqlite").to_str().unwrap(),
    ]);
    // With room made again, everything acknowledged is there.
    std::fs::copy(&on_disk, lab.path("after.sqlite")).unwrap();
    for ending in ["-wal", "-shm"] {
        let beside = format!("{library}{ending}");
        if Path::new(&beside).exists() {
            std::fs::copy(&beside, lab.path(&format!("after.sqlite{ending}"))).unwrap();
        }
    }
    let left = std::fs::read_dir(&disk).unwrap().count();
    Command::new("umount").arg(&disk).status().unwrap();
    assert_eq!(named, 3, "the disk never was full");
    assert_eq!(backup.code, 4, "{backup:?}");
    assert!(left <= 3, "a copy that did not fit was left");
    let sheets = lab.answer(0, &["--library", "after.sqlite", "sheet", "list"]);
    assert_eq!(sheets["sheets"].as_array().unwrap().len(), taken);
    assert_eq!(
        lab.answer(0, &["--library", "after.sqlite", "library", "verify"])["sound"],
        true
    );
}

#[test]
fn a_library_that_another_program_writes_is_waited_for_and_then_named() {
    let lab = lab_with_new_sheet();
    let mut other = Library::open(&lab.library()).unwrap();
    let change = other.change(stamp()).unwrap();
    let read = lab.run(&["library", "status"]);
    assert_eq!(read.code, 0, "readers don't wait: {read:?}");
    let said = lab.run(&["sheet", "import", "heron.csv"]);
    assert_eq!(said.code, 4, "{said:?}");
    assert!(said.err.starts_with("error[library.locked]"), "{said:?}");
    assert!(said.err.contains("try again"), "{said:?}");
    change.commit().unwrap();
    lab.done(&["sheet", "import", "heron.csv"]);
}

#[test]
fn a_log_that_was_taken_away_ends_with_four_and_says_what_to_do() {
    let lab = lab_with_new_sheet();
    let open = Library::open(&lab.library()).unwrap();
    assert_eq!(open.status().unwrap().sheets, 0);
    let left = lab.path("left.sqlite");
    for ending in ["", "-shm"] {
        let name = format!("lab.sqlite{ending}");
        std::fs::copy(lab.path(&name), format!("{}{ending}", left.display())).unwrap();
    }
    for command in [
        ["library", "status"],
        ["sheet", "list"],
        ["library", "verify"],
    ] {
        let said = lab.run(&["--library", "left.sqlite", command[0], command[1]]);
        assert_eq!(said.code, 4, "{said:?}");
        assert!(said.err.starts_with("error[library.log-lost]"), "{said:?}");
        assert!(said.err.contains("put `left.sqlite-wal` back"), "{said:?}");
    }
}

#[test]
fn a_clock_that_went_back_refuses_nothing_and_is_told() {
    let lab = lab_with_new_sheet();
    let said = lab.run_at("2019-01-01T00:00:00Z", &["sheet", "import", "heron.csv"]);
    assert!([0, 1].contains(&said.code), "{said:?}");
    let verified = lab.done(&["library", "verify"]);
    assert!(verified.out.contains("2019-01-01"), "{verified:?}");
    assert!(verified.out.contains("the clock"), "{verified:?}");
}
