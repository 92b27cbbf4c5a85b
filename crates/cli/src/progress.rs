//! Progress on a terminal.

use indicatif::{ProgressBar, ProgressStyle};

/// Shows how much is done, with an estimate; nothing where it may not be shown.
pub(crate) fn bar(wanted: bool, total: usize, what: &'static str) -> ProgressBar {
    if !wanted {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(total as u64);
    if let Ok(style) = ProgressStyle::with_template("{msg} {pos} of {len}, about {eta} left") {
        bar.set_style(style);
    }
    bar.set_message(what);
    bar
}
