//! Eight programs at once: each write lands or is refused in words, and readers are not kept waiting.

use crate::PROGRAM;
use dyebook_testkit::{Lab, MethodDraft, Said, SheetCsv};
use serde_json::json;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

const PROGRAMS: usize = 8;
const WRITES: usize = 4;

#[test]
fn eight_writers_lose_nothing_and_readers_go_on() {
    let lab = Lab::ready(PROGRAM);
    let before = lab.answer(0, &["library", "status"])["changes"]
        .as_u64()
        .unwrap();
    let writing = AtomicBool::new(true);
    let (landed, slowest) = std::thread::scope(|threads| {
        let writers: Vec<_> = (0..PROGRAMS)
            .map(|program| {
                threads.spawn({
                    let lab = &lab;
                    move || write(lab, program)
                })
            })
            .collect();
        let reader = threads.spawn(|| read_while(&lab, &writing));
        let landed: usize = writers.into_iter().map(|w| w.join().unwrap()).sum();
        writing.store(false, Ordering::Relaxed);
        (landed, reader.join().unwrap())
    });
    let sheets = lab.answer(0, &["sheet", "list"])["sheets"]
        .as_array()
        .unwrap()
        .len();
    assert_eq!(sheets, landed, "what was acknowledged is what is there");
    assert!(landed >= PROGRAMS, "hardly anything landed: {landed}");
    let status = lab.answer(0, &["library", "status"]);
    assert_eq!(status["changes"].as_u64().unwrap() - before, landed as u64);
    assert_eq!(lab.answer(0, &["library", "verify"])["sound"], true);
    // A reader that waited for the writers would run into the patience of five seconds.
    assert!(
        slowest < Duration::from_secs(5),
        "a reader waited {slowest:?}"
    );
}

/// Answers how many writes were acknowledged.
fn write(lab: &Lab, program: usize) -> usize {
    (0..WRITES)
        .filter(|number| {
            let group = format!("g-{program}-{number}");
            let mut sheet = SheetCsv::clean(&group);
            sheet.section.clone_from(&group);
            let name = format!("{group}.csv");
            lab.write(&name, sheet.text());
            let said = lab.run(&["sheet", "import", &name]);
            landed(&said)
        })
        .count()
}

fn landed(said: &Said) -> bool {
    if said.code == 0 {
        return true;
    }
    assert_eq!(said.code, 4, "{said:?}");
    assert!(said.err.starts_with("error[library."), "{said:?}");
    assert!(said.err.contains("nothing was written"), "{said:?}");
    false
}

/// Answers how long the slowest reader took.
fn read_while(lab: &Lab, writing: &AtomicBool) -> Duration {
    let mut slowest = Duration::ZERO;
    while writing.load(Ordering::Relaxed) {
        let begin = Instant::now();
        let said = lab.run(&["sheet", "list", "--json"]);
        slowest = slowest.max(begin.elapsed());
        assert_eq!(said.code, 0, "{said:?}");
    }
    slowest
}

/// One of two programs that bring two versions into use at the same moment is right; never both.
#[test]
fn a_version_is_put_into_use_once() {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    for round in 0..3 {
        let reference = format!("trial-{round}@1.0.0");
        let draft = MethodDraft::new(&format!("trial-{round}"), "1.0.0").with(
            "/title",
            json!(format!("Three dyes, invented, round {round}")),
        );
        lab.write("draft.json", draft.text());
        lab.done(&["method", "add", "draft.json"]);
        let said: Vec<Said> = std::thread::scope(|threads| {
            let all: Vec<_> = (0..PROGRAMS)
                .map(|_| {
                    threads.spawn(|| lab.run(&["method", "approve", &reference, "--reason", "r"]))
                })
                .collect();
            all.into_iter().map(|one| one.join().unwrap()).collect()
        });
        let done = said.iter().filter(|said| said.code == 0).count();
        assert_eq!(done, 1, "{said:#?}");
        assert!(
            said.iter().all(|said| [0, 3, 4].contains(&said.code)),
            "{said:#?}"
        );
        let history = lab.answer(0, &["history", &reference]);
        let approvals = history["changes"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|c| c["what"] == "approved");
        assert_eq!(approvals.count(), 1);
    }
}
