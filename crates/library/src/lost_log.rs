//! Was the write-ahead log taken away?
//!
//! SQLite makes the log before its index and removes the index before the log, so an index without
//! a log means that somebody, as a rule a sync program or a copy of some of the files, took the log
//! with the newest changes away.

use crate::connect::beside;
use crate::error::LibraryError;
use std::path::Path;
use std::time::Duration;

/// Looks at the two files aren't one: another program may open or close the library in between.
const LOOKS: u32 = 3;
const PAUSE: Duration = Duration::from_millis(20);

/// Refuses a library whose log is gone while its index is there.
pub(crate) fn refuse_lost_log(path: &Path) -> Result<(), LibraryError> {
    let (log, index) = (beside(path, "-wal"), beside(path, "-shm"));
    for look in 0..LOOKS {
        if !index.exists() || log.exists() {
            return Ok(());
        }
        if look + 1 < LOOKS {
            std::thread::sleep(PAUSE);
        }
    }
    Err(LibraryError::LogLost { path: path.into() })
}
