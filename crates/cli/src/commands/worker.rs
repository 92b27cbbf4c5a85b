//! The hidden start of this program as a plug-in's worker.

use dyebook_plugin_host::worker;
use dyebook_workflows::BUNDLED;

/// Becomes a worker, and never returns, when the program was started as one: with that one
/// argument and nothing else. Comes before everything else in `main`, since a worker closes its
/// ways out before it does anything.
pub(crate) fn become_if_asked() {
    let mut arguments = std::env::args_os().skip(1);
    if arguments
        .next()
        .is_some_and(|first| first == worker::ARGUMENT)
        && arguments.next().is_none()
    {
        worker::main(BUNDLED);
    }
}
