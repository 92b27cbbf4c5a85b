//! 1,000 kills: `cargo bench -p dyebook --bench kills`. The tests do the same 210 times.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "stops where a write is lost, and prints what happened"
)]

#[path = "../../../tests/nothing_lost/kills/mod.rs"]
mod kills;

const KILLS: u32 = 1000;

fn main() {
    // Run as a test it only has to build.
    if std::env::args().any(|argument| argument == "--test") {
        return;
    }
    let program = env!("CARGO_BIN_EXE_dyebook");
    let mut jobs = kills::jobs(program);
    let count = u32::try_from(jobs.len()).unwrap();
    let mut all = 0;
    for (number, job) in (0..).zip(&mut jobs) {
        let share = KILLS / count + u32::from(number < KILLS % count);
        let kills = kills::kill(program, job.as_mut(), share, 1);
        all += kills.killed;
        println!("{:16} {kills:?}", job.name());
    }
    println!("{all} kills; nothing acknowledged was lost, nothing was there by half");
}
