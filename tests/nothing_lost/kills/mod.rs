//! The driver: starts the real program, kills it at a random moment, and looks at what is left.

mod approve;
mod bundle;
mod establish;
mod identify;
mod import;
mod migration;
mod restore;

use dyebook_testkit::{BY, Lab, NOW, Said, SheetCsv};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::Value;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Whether a write is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum There {
    /// Nothing of it.
    No,
    /// All of it. There is no third word: half of it stops the test.
    Yes,
}

/// A write that is tried again and again.
pub(crate) trait Job {
    /// What it is called.
    fn name(&self) -> &'static str;
    /// The folder and the program.
    fn lab(&self) -> &Lab;
    /// Makes ready for the next try. Answers the command that is to be killed.
    fn prepare(&mut self, round: u32) -> Vec<String>;
    /// Looks at what is left.
    fn look(&self) -> There;
    /// The error of the same command given again when the first one had done its work already.
    fn done_already(&self) -> Option<&'static str> {
        None
    }
}

/// What happened.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Kills {
    /// Tries that were killed before they ended.
    pub(crate) killed: u32,
    /// Killed ones whose write was there all the same.
    pub(crate) killed_and_there: u32,
    /// Tries that ended before the kill came, and so had acknowledged.
    pub(crate) acknowledged: u32,
    /// Files that killed ones left, none of which mattered.
    pub(crate) left_over: u32,
}

/// All jobs.
pub(crate) fn jobs(program: &str) -> Vec<Box<dyn Job>> {
    vec![
        Box::new(import::Import::new(program)),
        Box::new(approve::Approve::new(program)),
        Box::new(establish::Establish::new(program)),
        Box::new(identify::Identify::new(program)),
        Box::new(restore::Restore::new(program)),
        Box::new(bundle::TakeBundle::new(program)),
        Box::new(migration::Migration::new(program)),
    ]
}

/// Kills a job until it was killed so many times.
pub(crate) fn kill(program: &str, job: &mut dyn Job, wanted: u32, seed: u64) -> Kills {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut kills = Kills::default();
    let mut usual = usual_duration(job);
    let mut round = 100;
    while kills.killed < wanted {
        round += 1;
        assert!(
            round < 100 + 20 * wanted,
            "{}: too few were killed: {kills:?}",
            job.name()
        );
        let command = job.prepare(round);
        // Most of a command is starting and reading; writing is at its end.
        let share: f64 = if random.random_bool(0.25) {
            random.random_range(0.0..1.0)
        } else {
            random.random_range(0.4..1.05)
        };
        let acknowledged = run_and_kill(
            command_in(program, job.lab(), &command),
            usual.mul_f64(share),
            &mut usual,
        );
        look_after_kill(job, &command, acknowledged, &mut kills);
    }
    kills
}

/// How long the command takes when it is left alone.
fn usual_duration(job: &mut dyn Job) -> Duration {
    let mut fastest = Duration::MAX;
    for round in 0..2 {
        let command = job.prepare(round);
        let begin = Instant::now();
        let words: Vec<&str> = command.iter().map(String::as_str).collect();
        job.lab().done(&words);
        fastest = fastest.min(begin.elapsed());
        assert_eq!(job.look(), There::Yes, "{}", job.name());
    }
    fastest
}

/// Answers whether the program had ended, and so acknowledged, before the kill came; then it also
/// corrects the usual duration.
fn run_and_kill(mut command: Command, after: Duration, usual: &mut Duration) -> bool {
    let begin = Instant::now();
    let mut child = command.spawn().unwrap();
    std::thread::sleep(after.saturating_sub(begin.elapsed()));
    let ended = child.try_wait().unwrap();
    child.kill().unwrap();
    let status = child.wait().unwrap();
    if ended.is_some() || status.code().is_some() {
        assert_eq!(status.code(), Some(0), "{command:?}");
        *usual = usual.mul_f64(0.97);
        return true;
    }
    *usual = usual.mul_f64(1.005);
    false
}

fn command_in(program: &str, lab: &Lab, arguments: &[String]) -> Command {
    let mut command = Command::new(program);
    command
        .args(arguments)
        .current_dir(lab.folder())
        .env_clear()
        .env("HOME", lab.folder())
        .env("DYEBOOK_LIBRARY", lab.library())
        .env("DYEBOOK_BY", BY)
        .env("DYEBOOK_NOW", NOW)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

fn look_after_kill(job: &dyn Job, command: &[String], acknowledged: bool, kills: &mut Kills) {
    let lab = job.lab();
    verified(lab, &lab.library());
    let there = job.look();
    if acknowledged {
        kills.acknowledged += 1;
        assert_eq!(
            there,
            There::Yes,
            "{} was acknowledged and is gone",
            job.name()
        );
    } else {
        kills.killed += 1;
        kills.killed_and_there += u32::from(there == There::Yes);
    }
    kills.left_over += clear_left_over(lab);
    let words: Vec<&str> = command.iter().map(String::as_str).collect();
    let again = lab.run(&words);
    let refused_rightly = there == There::Yes
        && job
            .done_already()
            .is_some_and(|id| again.code == 3 && again.err.contains(id));
    assert!(
        again.code == 0 || refused_rightly,
        "{command:?} given again: {again:?}"
    );
    assert_eq!(job.look(), There::Yes, "{} given again", job.name());
    verified(lab, &lab.library());
}

/// A clean sheet of a section of its own, so that no check compares it with others.
fn sheet_of(group: &str) -> SheetCsv {
    let mut sheet = SheetCsv::clean(group);
    group.clone_into(&mut sheet.section);
    sheet
}

/// Puts the library of before the first try in place again.
fn back_to_base(lab: &Lab) {
    for ending in ["-wal", "-shm"] {
        let _not_there = std::fs::remove_file(lab.path(&format!("lab.sqlite{ending}")));
    }
    std::fs::copy(lab.path("base.sqlite"), lab.library()).unwrap();
}

/// Every page, digest and record of a library is as it was recorded.
fn verified(lab: &Lab, library: &Path) -> Value {
    let said: Said = lab.run(&[
        "--library",
        library.to_str().unwrap(),
        "library",
        "verify",
        "--json",
    ]);
    assert_eq!(said.code, 0, "{said:?}");
    said.json()
}

/// Names of files that may be left by a program that was killed: all of them copies that were not
/// complete yet, and so had no name of their own.
const MAY_STAY: [&str; 3] = [".dyebook-copy-", ".dyebook-new-", ".dyebook-text-"];
/// What the folder of a lab holds otherwise.
const BELONG: [&str; 4] = ["lab.sqlite", "copy.sqlite", "bundle.json", "base.sqlite"];

/// Counts and removes what may stay; anything else stops the test.
fn clear_left_over(lab: &Lab) -> u32 {
    let mut count = 0;
    for entry in std::fs::read_dir(lab.folder()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        if MAY_STAY.iter().any(|begin| name.starts_with(begin)) {
            std::fs::remove_file(&path).unwrap();
            count += 1;
        } else {
            let belongs = BELONG.contains(&name)
                || ["csv", "json"]
                    .iter()
                    .any(|end| path.extension().is_some_and(|e| e == *end))
                || ["lab.sqlite.before-restore-", "lab.sqlite.schema-1.copy"]
                    .iter()
                    .any(|begin| name.starts_with(begin));
            assert!(belongs, "`{name}` was left");
        }
    }
    count
}
