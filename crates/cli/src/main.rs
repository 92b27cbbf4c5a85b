//! dyebook: methods and reference values for the paper chromatography of food dyes.
//!
//! This crate is the program: arguments, messages, exit codes, progress. What a command does is in
//! `dyebook-workflows`; each command here is its arguments and a short function.

mod arguments;
mod commands;
mod desk;
mod identities;
mod identity_tally;
mod outcome;
mod progress;
mod show;
mod surroundings;
mod table;
mod words;

use arguments::Program;
use clap::Parser;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    commands::worker::become_if_asked();
    let program = match Program::try_parse() {
        Ok(program) => program,
        Err(error) => return usage(&error),
    };
    let (as_json, quiet) = (program.global.json, program.global.quiet);
    std::panic::set_hook(Box::new(|info| show::complain(&bug_report(info))));
    let desk = surroundings::desk(&program.global);
    match catch_unwind(AssertUnwindSafe(|| commands::run(program.command, &desk))) {
        Ok(result) => show::outcome(result, as_json, quiet),
        Err(_already_told) => ExitCode::from(show::BUG),
    }
}

/// A command line that can't be understood, or a wish for help.
fn usage(error: &clap::Error) -> ExitCode {
    let wrong = error.use_stderr();
    if wrong && std::env::args_os().any(|argument| argument == "--json") {
        show::usage_as_json(&error.render().to_string());
    }
    // Help goes to standard output, what is wrong to standard error; a closed pipe is no matter.
    let _closed = error.print();
    ExitCode::from(if wrong { show::USAGE } else { 0 })
}

fn bug_report(info: &std::panic::PanicHookInfo<'_>) -> String {
    format!(
        "error[bug]: this is a mistake of dyebook {}, not of yours\n  {info}\n  \
         hint: what was being written is not kept; `dyebook library verify` says whether the \
         library is sound\n  hint: report the lines above together with the command\n",
        env!("CARGO_PKG_VERSION")
    )
}
