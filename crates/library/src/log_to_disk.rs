//! The log on its way to the disk while a change goes on.
//!
//! A commit waits until the disk has all that the change wrote into the log. Of a large change that
//! would be seconds in which nothing else happens; here most of it has got there meanwhile.
//!
//! Closing a file lets go of all locks that the process has on it (POSIX), so this may be done with
//! the log, which SQLite never locks, and not with the library.

use std::fs::File;
use std::path::PathBuf;
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::thread::{self, JoinHandle};
use std::time::Duration;

/// Most changes are over before it begins.
const EVERY: Duration = Duration::from_millis(250);

/// Sends the log to the disk every now and then, until it is dropped.
#[derive(Debug)]
pub(crate) struct LogToDisk {
    /// Never sends: it is gone when this is.
    here: Option<Sender<()>>,
    thread: Option<JoinHandle<()>>,
}

impl LogToDisk {
    /// Begins with this log. Whatever goes wrong is left to the commit, which waits for all of it.
    pub(crate) fn begin(log: PathBuf) -> Self {
        let (here, gone) = mpsc::channel();
        let go_on = move || gone.recv_timeout(EVERY) == Err(RecvTimeoutError::Timeout);
        let send = move || {
            while go_on() {
                let _left_to_the_commit = File::open(&log).and_then(|log| log.sync_data());
            }
        };
        Self {
            here: Some(here),
            thread: thread::Builder::new().spawn(send).ok(),
        }
    }
}

impl Drop for LogToDisk {
    fn drop(&mut self) {
        self.here.take();
        if let Some(thread) = self.thread.take() {
            let _it_has_nothing_to_say = thread.join();
        }
    }
}
