//! One frame to the worker and one back, against one deadline, while its log is read so that a
//! flood of it never stops the conversation.

use std::io::{self, PipeReader, Read, Write};
use std::os::unix::net::UnixStream;
use std::time::{Duration, Instant};

use rustix::buffer::spare_capacity;
use rustix::event::{PollFd, PollFlags, Timespec, poll};

use crate::frame::{HEADER, Header};
use crate::log::Log;

/// Read from the socket or the log at once; an answer of 32 lanes fits.
const PIECE: usize = 128 * 1024;

/// The frame that came back.
#[derive(Debug)]
pub(super) struct Answer {
    pub(super) header: Header,
    pub(super) json: Vec<u8>,
}

/// Why none came back.
#[derive(Debug)]
pub(super) enum Trouble {
    /// The deadline passed.
    Late,
    /// The worker closed the socket.
    Gone,
    /// It sent what is no answer.
    Broken(String),
}

pub(super) fn exchange(
    socket: &UnixStream,
    log_pipe: &PipeReader,
    log: &mut Log,
    header: Header,
    [json, blob]: [&[u8]; 2],
    deadline: Instant,
    most: usize,
) -> Result<Answer, Trouble> {
    let broken = |text: &str| Trouble::Broken(text.to_owned());
    let bytes = header
        .encode()
        .ok_or_else(|| broken("a request of 4 GiB"))?;
    let mut outgoing: [&[u8]; 3] = [&bytes, json, blob];
    let mut incoming = Incoming {
        bytes: Vec::new(),
        header: None,
        seq: header.seq,
        most,
    };
    loop {
        let left = deadline.saturating_duration_since(Instant::now());
        if left.is_zero() {
            return Err(Trouble::Late);
        }
        let sending = outgoing.iter().any(|piece| !piece.is_empty());
        let (on_socket, on_log) = wait(socket, log_pipe, sending, left)?;
        if on_log {
            drain(log_pipe, log);
        }
        // A worker that is gone takes nothing more, but its last words may still be read.
        if sending && on_socket.contains(PollFlags::OUT) {
            send(socket, &mut outgoing);
        }
        let readable = on_socket.intersects(PollFlags::IN | PollFlags::HUP | PollFlags::ERR);
        if readable && let Some(answer) = incoming.read(socket)? {
            return Ok(answer);
        }
    }
}

fn wait(
    socket: &UnixStream,
    log_pipe: &PipeReader,
    sending: bool,
    left: Duration,
) -> Result<(PollFlags, bool), Trouble> {
    let wish = if sending {
        PollFlags::IN | PollFlags::OUT
    } else {
        PollFlags::IN
    };
    let mut watched = [
        PollFd::new(socket, wish),
        PollFd::new(log_pipe, PollFlags::IN),
    ];
    let timeout = Timespec {
        tv_sec: i64::try_from(left.as_secs()).unwrap_or(i64::MAX),
        tv_nsec: i64::from(left.subsec_nanos()),
    };
    match poll(&mut watched, Some(&timeout)) {
        Ok(_) | Err(rustix::io::Errno::INTR) => {}
        Err(error) => return Err(Trouble::Broken(error.to_string())),
    }
    let [socket, log] = &watched;
    Ok((socket.revents(), log.revents().contains(PollFlags::IN)))
}

/// Takes what is in the log now, and not more than one piece: a plug-in that writes without end
/// must not keep the host from its deadline.
pub(super) fn drain(mut log_pipe: &PipeReader, log: &mut Log) {
    let mut piece = vec![0; PIECE];
    // Nothing there, or nobody there any more: both are no trouble of the log.
    if let Ok(count) = log_pipe.read(&mut piece) {
        log.write(piece.get(..count).unwrap_or_default());
    }
}

fn send(mut socket: &UnixStream, outgoing: &mut [&[u8]; 3]) {
    let slices = outgoing.map(io::IoSlice::new);
    match socket.write_vectored(&slices) {
        Ok(mut sent) => {
            for piece in outgoing {
                let of_this = sent.min(piece.len());
                *piece = piece.get(of_this..).unwrap_or_default();
                sent -= of_this;
            }
        }
        Err(error) if is_passing(&error) => {}
        // It reads no more; what it still says, or its end, is seen by reading.
        Err(_) => *outgoing = [&[]; 3],
    }
}

struct Incoming {
    bytes: Vec<u8>,
    header: Option<Header>,
    seq: u32,
    most: usize,
}

impl Incoming {
    /// Reads what is there; the answer once it is whole.
    fn read(&mut self, socket: &UnixStream) -> Result<Option<Answer>, Trouble> {
        let wanted = match &self.header {
            Some(header) => HEADER + header.json + 1 - self.bytes.len(),
            None => PIECE,
        };
        self.bytes.reserve(wanted.min(16 * PIECE));
        match rustix::io::read(socket, spare_capacity(&mut self.bytes)) {
            Ok(0) => return Err(Trouble::Gone),
            Ok(_) => {}
            Err(error) if is_passing(&error.into()) => return Ok(None),
            Err(_) => return Err(Trouble::Gone),
        }
        self.look()
    }

    fn look(&mut self) -> Result<Option<Answer>, Trouble> {
        let broken = |text: String| Trouble::Broken(text);
        if self.header.is_none()
            && let Some(bytes) = self.bytes.first_chunk::<HEADER>()
        {
            let header = Header::decode(*bytes).map_err(|text| broken(text.into()))?;
            if header.seq != self.seq {
                let text = format!("call {} was answered as call {}", self.seq, header.seq);
                return Err(broken(text));
            }
            if header.json > self.most || header.blob != 0 {
                return Err(broken(format!(
                    "an answer of {} bytes",
                    header.json + header.blob
                )));
            }
            self.header = Some(header);
        }
        let Some(header) = self.header else {
            return Ok(None);
        };
        match self.bytes.len().cmp(&(HEADER + header.json)) {
            std::cmp::Ordering::Less => Ok(None),
            std::cmp::Ordering::Equal => Ok(Some(Answer {
                header,
                json: self.bytes.split_off(HEADER),
            })),
            std::cmp::Ordering::Greater => Err(broken("bytes after the answer".into())),
        }
    }
}

fn is_passing(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::WouldBlock | io::ErrorKind::Interrupted
    )
}
