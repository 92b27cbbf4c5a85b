//! What a worker sent, read just as the host reads it, for tests that send anything.

use std::io::{self, Write};
use std::os::unix::net::UnixStream;
use std::time::{Duration, Instant};

use super::exchange::{Trouble, exchange};
use crate::failure::Failure;
use crate::frame::{Header, Kind};
use crate::log::Log;

/// Longer than reading what is there takes.
const PATIENCE: Duration = Duration::from_secs(5);
/// Larger answers are refused.
const MOST: usize = 1024 * 1024;

/// The body of the frame that answers the first call.
pub(crate) fn read_sent(sent: &[u8]) -> Result<Vec<u8>, Failure> {
    let protocol = |text: String| Failure::Protocol { text };
    let ours = |error: io::Error| protocol(error.to_string());
    let (host, worker) = UnixStream::pair().map_err(ours)?;
    host.set_nonblocking(true).map_err(ours)?;
    // Open to the end: a log that somebody closed is another case.
    let (log_pipe, _log) = io::pipe().map_err(ours)?;
    std::thread::scope(|threads| {
        // A host that has read enough hangs up, and so does a worker that has sent all.
        threads.spawn(move || {
            let _ = (&worker).write_all(sent);
        });
        let answer = exchange(
            &host,
            &log_pipe,
            &mut Log::default(),
            Header::new(Kind::Call, 1),
            [b"", b""],
            Instant::now() + PATIENCE,
            MOST,
        );
        drop(host);
        match answer {
            Ok(answer) => Ok(answer.json),
            Err(Trouble::Broken(text)) => Err(protocol(text)),
            Err(Trouble::Gone) => Err(protocol("the worker hung up".to_owned())),
            Err(Trouble::Late) => Err(protocol("the worker was too late".to_owned())),
        }
    })
}
