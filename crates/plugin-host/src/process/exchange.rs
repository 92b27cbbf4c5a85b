//! One frame to the worker and one back, against one deadline, while its log is read so that a
//! flood of it never stops the conversation.

use std::cmp::Ordering;
use std::io::{self, PipeReader, Read, Write};
use std::os::unix::net::UnixStream;
use std::time::{Duration, Instant};

use rustix::buffer::spare_capacity;
use rustix::event::{PollFd, PollFlags, Timespec, poll};

use crate::frame::{HEADER, Header};
use crate::log::Log;

/// Read from the log at once.
const PIECE: usize = 64 * 1024;

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
    let mut incoming = Incoming::new(header.seq, most);
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
    head: [u8; HEADER],
    /// Bytes of the head that are there.
    head_length: usize,
    header: Option<Header>,
    /// Read into directly, as an answer is large and a copy of it costs.
    json: Vec<u8>,
    seq: u32,
    most: usize,
}

impl Incoming {
    fn new(seq: u32, most: usize) -> Self {
        Self {
            head: [0; HEADER],
            head_length: 0,
            header: None,
            json: Vec::new(),
            seq,
            most,
        }
    }

    /// Reads what is there; the answer once it is whole.
    fn read(&mut self, socket: &UnixStream) -> Result<Option<Answer>, Trouble> {
        loop {
            let read = if self.header.is_some() {
                rustix::io::read(socket, spare_capacity(&mut self.json))
            } else {
                let space = self.head.get_mut(self.head_length..).unwrap_or_default();
                rustix::io::read(socket, space)
            };
            match read {
                Ok(0) => return Err(Trouble::Gone),
                Ok(count) if self.header.is_none() => self.head_length += count,
                Ok(_) => {}
                Err(error) if is_passing(&error.into()) => return Ok(None),
                Err(_) => return Err(Trouble::Gone),
            }
            if self.header.is_none() && self.head_length == HEADER {
                let header = Header::decode(self.head);
                self.begin(header.map_err(|text| Trouble::Broken(text.into()))?)?;
            }
            let Some(header) = self.header else { continue };
            match self.json.len().cmp(&header.json) {
                Ordering::Less => {}
                Ordering::Equal => {
                    return Ok(Some(Answer {
                        header,
                        json: std::mem::take(&mut self.json),
                    }));
                }
                Ordering::Greater => return Err(Trouble::Broken("bytes after the answer".into())),
            }
        }
    }

    fn begin(&mut self, header: Header) -> Result<(), Trouble> {
        if header.seq != self.seq {
            let text = format!("call {} was answered as call {}", self.seq, header.seq);
            return Err(Trouble::Broken(text));
        }
        if header.json > self.most || header.blob != 0 {
            let text = format!(
                "an answer of {} bytes",
                header.json.saturating_add(header.blob)
            );
            return Err(Trouble::Broken(text));
        }
        // One more, so that bytes behind the answer are seen.
        self.json.reserve_exact(header.json + 1);
        self.header = Some(header);
        Ok(())
    }
}

fn is_passing(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::WouldBlock | io::ErrorKind::Interrupted
    )
}
