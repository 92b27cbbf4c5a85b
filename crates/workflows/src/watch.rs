//! Something long is looked on at, and may be stopped.

use crate::failure::{Failure, FailureClass};

/// How far something long has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// What is being done.
    pub doing: &'static str,
    /// How many are done.
    pub done: usize,
    /// Of how many.
    pub of: usize,
}

/// Looks on while something long is done.
pub trait Watch: Sync {
    /// Is told how far it has come, at least once a stage.
    fn progress(&self, progress: Progress);

    /// Whether a person wants it to stop.
    fn wants_stop(&self) -> bool;
}

/// Nobody looks on.
#[derive(Debug, Clone, Copy, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn progress(&self, _progress: Progress) {}

    fn wants_stop(&self) -> bool {
        false
    }
}

/// Tells how far it has come, and stops when a person wants that.
///
/// # Errors
/// The wish to stop, in words that say what became of the work.
pub(crate) fn go_on(
    watch: &dyn Watch,
    progress: Progress,
    if_stopped: impl FnOnce() -> String,
) -> Result<(), Failure> {
    watch.progress(progress);
    if watch.wants_stop() {
        return Err(Failure::new(FailureClass::Stopped, "stopped", if_stopped()));
    }
    Ok(())
}
