//! Nothing is lost: the real program killed, starved of disk, locked out, run eight at a time, fed
//! with damaged and hostile files, and moved from lab to lab.
//!
//! The rules are the program's own; ALCOA and ISO/IEC 17025:2017 7.5 and 7.11 name the principles
//! (original, complete and enduring records; protection from loss).

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops where it fails"
)]

#[path = "nothing_lost/mod.rs"]
mod dangers;

/// The program under test.
const PROGRAM: &str = env!("CARGO_BIN_EXE_dyebook");
