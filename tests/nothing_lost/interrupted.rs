//! Ctrl-C in the middle of a large term, and a refusal at its end. What is said is what was done.

use crate::PROGRAM;
use dyebook_testkit::large_term::LargeTerm;
use dyebook_testkit::{Lab, SheetCsv};
use std::io::Read;
use std::process::{Command, Stdio};
use std::time::Duration;

/// 27 sessions, more than are in memory at a time.
const SPOTS: usize = 7_400;

/// Runs the program and presses Ctrl-C after a while, a little later each time, until it comes
/// late enough to be answered. Answers what was said.
fn interrupted(lab: &Lab, arguments: &[&str]) -> String {
    for tenths in 1..20 {
        let mut child = Command::new(PROGRAM)
            .args(arguments)
            .current_dir(lab.folder())
            .env("DYEBOOK_LIBRARY", lab.library())
            .env("DYEBOOK_BY", "tester")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(100 * tenths));
        let id = child.id().to_string();
        Command::new("kill").args(["-INT", &id]).status().unwrap();
        let mut said = String::new();
        let mut errors = child.stderr.take().unwrap();
        errors.read_to_string(&mut said).unwrap();
        let ended = child.wait().unwrap();
        lab.done(&["library", "verify"]);
        if ended.code() == Some(130) {
            return said;
        }
        // Before it was ready to answer, Ctrl-C just ends it.
        assert_eq!(ended.code(), None, "it was done before Ctrl-C came: {said}");
    }
    panic!("Ctrl-C was never answered");
}

/// A library, and files of more sheets than are in memory at a time.
fn large_term() -> (Lab, Vec<String>) {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    for method in ["harrow-saline@1.1.0", "harrow-citrate@1.0.0"] {
        lab.done(&["method", "approve", method, "--reason", "for a test"]);
    }
    let files: Vec<String> = LargeTerm::new(SPOTS, 1)
        .map(|file| {
            lab.write(&file.name, &file.text);
            file.name
        })
        .collect();
    assert!(
        files.len() > 16,
        "{} files are all read at once",
        files.len()
    );
    (lab, files)
}

fn kept(lab: &Lab) -> usize {
    let list = lab.answer(0, &["sheet", "list"]);
    list["sheets"].as_array().unwrap().len()
}

#[test]
fn ctrl_c_says_what_was_done_and_leaves_the_library_sound() {
    let (lab, files) = large_term();
    let mut import = vec!["sheet", "import"];
    import.extend(files.iter().map(String::as_str));

    let said = interrupted(&lab, &import);
    let all = 16 * (files.len() - 1)..=16 * files.len();
    if said.contains("nothing was written") {
        assert_eq!(kept(&lab), 0, "{said}");
    } else {
        assert!(said.contains("of them are kept"), "{said}");
        assert!(all.contains(&kept(&lab)));
    }

    let taken = lab.run(&import);
    assert!(matches!(taken.code, 0 | 1), "{}", taken.err);
    assert!(all.contains(&kept(&lab)));

    let said = interrupted(&lab, &["identify", "--all"]);
    let stored: usize = said
        .split("the identities of ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next()?.parse().ok())
        .unwrap_or_else(|| panic!("no number in: {said}"));
    let status = lab.answer(0, &["library", "status"]);
    assert_eq!(status["identifications"], stored, "{said}");

    let found = lab.run(&["identify", "--all"]);
    assert!(matches!(found.code, 0 | 1), "{}", found.err);
    assert!(found.out.contains("harrow-saline@1.1.0"), "{}", found.out);
    let status = lab.answer(0, &["library", "status"]);
    assert_eq!(status["identifications"], kept(&lab));
}

#[test]
fn what_is_refused_at_the_end_of_a_large_term_leaves_nothing_of_its_beginning() {
    let (lab, files) = large_term();
    let bad = SheetCsv::clean("owl").on("no day").text();
    lab.write("bad.csv", bad);
    let mut import = vec!["sheet", "import"];
    import.extend(files.iter().map(String::as_str));
    import.push("bad.csv");
    let said = lab.ends_with(3, &import);
    assert!(said.err.contains("bad.csv"), "{}", said.err);
    assert_eq!(kept(&lab), 0);

    // By another solvent, and of a section that comes last.
    let mut other = SheetCsv::clean("owl").by_method("harrow-citrate@1.0.0");
    other.section = "Z".to_owned();
    lab.write("bad.csv", other.on("2026-10-20").text());
    assert!(matches!(lab.run(&import).code, 0 | 1));
    assert!(kept(&lab) > 256, "all sheets are identified at once");
    let all_by_saline = ["identify", "--all", "--method", "harrow-saline@1.1.0"];
    let said = lab.ends_with(3, &all_by_saline);
    assert!(said.err.contains("can't be compared"), "{}", said.err);
    let status = lab.answer(0, &["library", "status"]);
    assert_eq!(status["identifications"], 0);
}
