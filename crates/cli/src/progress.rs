//! Progress on a terminal, and Ctrl-C.

use dyebook_workflows::{Progress, Watch};
use indicatif::{ProgressBar, ProgressStyle};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// What the shell expects of a program that Ctrl-C ended: 128 and the number of the signal.
pub(crate) const STOPPED: u8 = 130;

/// Shows how much is done, with an estimate, and asks the work to stop at Ctrl-C.
#[derive(Debug)]
pub(crate) struct AtTerminal {
    bar: ProgressBar,
    stop: Arc<AtomicBool>,
}

impl AtTerminal {
    /// From now on the first Ctrl-C asks the work to stop at a place where it can say what was
    /// done; a second one stops at once, which leaves the library as sound as a kill does.
    pub(crate) fn new(shows_progress: bool) -> Self {
        let stop = Arc::new(AtomicBool::new(false));
        let asked = Arc::clone(&stop);
        // Without a handler Ctrl-C still stops the program, only without a word.
        let _without = ctrlc::set_handler(move || {
            if asked.swap(true, Ordering::Relaxed) {
                std::process::exit(i32::from(STOPPED));
            }
        });
        Self {
            bar: if shows_progress {
                bar()
            } else {
                ProgressBar::hidden()
            },
            stop,
        }
    }
}

impl Watch for AtTerminal {
    fn progress(&self, progress: Progress) {
        if self.bar.message() != progress.doing {
            self.bar.set_message(progress.doing);
            self.bar.reset();
        }
        self.bar.set_length(progress.of as u64);
        self.bar.set_position(progress.done as u64);
    }

    fn wants_stop(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}

impl Drop for AtTerminal {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

fn bar() -> ProgressBar {
    let bar = ProgressBar::new(0);
    if let Ok(style) = ProgressStyle::with_template("{msg} {pos} of {len}, about {eta} left") {
        bar.set_style(style);
    }
    bar
}
