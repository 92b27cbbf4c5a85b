//! The worker's streams, and the way out of it.
#![expect(unsafe_code, reason = "file descriptors of the process, and its end")]

use std::io::{self, IoSlice, Read, Write};
use std::os::fd::{AsFd, BorrowedFd};
use std::os::unix::net::UnixStream;

use crate::frame::{HEADER, Header};

/// The lowest number that the socket may get: above what a plug-in opens or scribbles on by habit,
/// below the most files that it may have.
const OUT_OF_THE_WAY: i32 = 48;

/// A frame as it came.
#[derive(Debug)]
pub(super) struct Frame {
    pub(super) header: Header,
    pub(super) json: Vec<u8>,
    pub(super) blob: Vec<u8>,
}

/// The conversation with the host.
#[derive(Debug)]
pub(super) struct Conversation {
    socket: UnixStream,
}

impl Conversation {
    /// Takes the socket off standard input, and makes standard output the log.
    pub(super) fn open() -> io::Result<Self> {
        let socket = rustix::io::fcntl_dupfd_cloexec(io::stdin().as_fd(), OUT_OF_THE_WAY)?;
        let null = std::fs::OpenOptions::new()
            .read(true)
            .write(true)
            .open("/dev/null")?;
        put(null.as_fd(), 0)?;
        put(io::stderr().as_fd(), 1)?;
        Ok(Self {
            socket: socket.into(),
        })
    }

    /// The next frame; `None` when the host is gone.
    pub(super) fn receive(&mut self) -> io::Result<Option<Frame>> {
        let mut bytes = [0; HEADER];
        let begun = self.socket.read(&mut bytes)?;
        if begun == 0 {
            return Ok(None);
        }
        self.socket
            .read_exact(bytes.get_mut(begun..).unwrap_or_default())?;
        let header = Header::decode(bytes).map_err(io::Error::other)?;
        let mut json = vec![0; header.json];
        self.socket.read_exact(&mut json)?;
        let mut blob = vec![0; header.blob];
        self.socket.read_exact(&mut blob)?;
        Ok(Some(Frame { header, json, blob }))
    }

    pub(super) fn send(&mut self, header: Header, json: &[u8]) -> io::Result<()> {
        let header = Header {
            json: json.len(),
            ..header
        };
        let bytes = header
            .encode()
            .ok_or_else(|| io::Error::other("an answer of 4 GiB"))?;
        // Both at once, so that the host wakes up once for it; what did not fit follows.
        let sent = self
            .socket
            .write_vectored(&[IoSlice::new(&bytes), IoSlice::new(json)])?;
        self.socket
            .write_all(bytes.get(sent..).unwrap_or_default())?;
        self.socket
            .write_all(json.get(sent.saturating_sub(HEADER)..).unwrap_or_default())
    }
}

fn put(from: BorrowedFd<'_>, to: i32) -> io::Result<()> {
    use std::os::fd::AsRawFd;
    // SAFETY: both numbers are open or free; what stood at `to` is a standard stream of this
    // process that nothing else holds.
    if unsafe { libc::dup2(from.as_raw_fd(), to) } < 0 {
        return Err(io::Error::last_os_error());
    }
    Ok(())
}

/// Ends the process without running destructors, of which a plug-in may have registered some.
pub(super) fn leave(code: i32) -> ! {
    // SAFETY: nothing is left to do in this process.
    unsafe { libc::_exit(code) }
}
