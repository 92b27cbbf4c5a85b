//! Tests of the whole project: its shape, and the program on real files, from the outside.
//!
//! One module a topic. Nothing of the surroundings is read: the program runs in a folder of its own
//! with the environment cleared and a clock that stands still (`dyebook-testkit`).

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops where it fails"
)]

mod answers;
mod architecture;
mod chemistry;
mod commands;
mod demo;
mod dyes;
mod help;
mod identities;
mod import_and_identify;
mod library_file;
mod methods;
mod other_processor;
mod project;
mod properties;
mod report;
mod sessions;
mod sheets;
mod students;

/// The program under test.
const PROGRAM: &str = env!("CARGO_BIN_EXE_dyebook");
