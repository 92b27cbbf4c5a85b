//! The hidden start of this program as a plug-in's worker.

use std::process::ExitCode;

/// Runs as a worker when the program was started as one.
pub(crate) fn run_if_asked() -> Option<ExitCode> {
    None
}
