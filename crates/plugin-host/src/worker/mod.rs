//! The other side: what runs in a process of its own, around one plug-in.
//!
//! Order matters. First the ways out are closed: the socket goes where a plug-in that prints does
//! not reach it, standard output becomes the log. Then the library's bytes are read, compared and
//! sealed, because afterwards no file may be opened any more. Then limits and sandbox, and only
//! then is a byte of the plug-in mapped.

mod confine;
mod exercise;
mod library;
mod seccomp;
mod serve;
mod streams;

pub use exercise::{Exercise, Message, Report, Step, StepReport, Surroundings};
pub(crate) use library::MOST_BYTES as MOST_LIBRARY_BYTES;

use crate::bundled::Bundled;

/// The argument with which the program is started as a worker.
pub const ARGUMENT: &str = "__plugin-host";

/// Runs as a worker until the host is gone. Call it first thing in `main` when the program was
/// started with [`ARGUMENT`] and nothing else.
pub fn main(bundled: Bundled) -> ! {
    let code = i32::from(serve::run(bundled).is_err());
    streams::leave(code)
}
