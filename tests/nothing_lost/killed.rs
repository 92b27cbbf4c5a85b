//! 210 kills in all: after each, what was acknowledged is there, nothing is there by half, and the
//! same command works when it is given again.

use super::kills::{Kills, jobs, kill};
use crate::PROGRAM;

/// Kills a job; the seed makes the moments repeat as far as the machine does.
const KILLS: u32 = 30;
const SEED: u64 = 20_261_125;

fn survives(name: &str) {
    let mut job = jobs(PROGRAM)
        .into_iter()
        .find(|job| job.name() == name)
        .unwrap();
    let kills: Kills = kill(PROGRAM, job.as_mut(), KILLS, SEED);
    assert_eq!(kills.killed, KILLS, "{kills:?}");
}

#[test]
fn import_survives_being_killed() {
    survives("sheet import");
}

#[test]
fn approve_survives_being_killed() {
    survives("method approve");
}

#[test]
fn establish_survives_being_killed() {
    survives("reference establish");
}

#[test]
fn identify_survives_being_killed() {
    survives("identify");
}

#[test]
fn restore_survives_being_killed() {
    survives("library restore");
}

#[test]
fn taking_in_a_bundle_survives_being_killed() {
    survives("library import");
}

#[test]
fn migration_survives_being_killed() {
    survives("migration");
}
