//! A buffered writer onto a sink of the host.

use std::fmt;
use std::io;
use std::mem;

use dyebook_plugin_abi::{DYB_OK, dyb_out};

use crate::{Error, Result};

/// Calls across the border are few when the pieces are this big.
const BUFFER: usize = 16 * 1024;

/// Collects bytes and hands them to the host in pieces. A refusal is final.
pub(crate) struct Sink {
    /// `None`: everything stays in the buffer, for tests of a plug-in without a host.
    out: Option<*mut dyb_out>,
    buffer: Vec<u8>,
    refused: bool,
}

impl Sink {
    /// # Safety
    /// `out` is null or a sink that stays valid as long as this value.
    #[expect(unsafe_code, reason = "the caller vouches for a pointer from C")]
    pub(crate) unsafe fn new(out: *mut dyb_out) -> Self {
        Self {
            out: Some(out),
            buffer: Vec::with_capacity(BUFFER),
            refused: false,
        }
    }

    /// A sink that keeps everything.
    pub(crate) fn in_memory() -> Self {
        Self {
            out: None,
            buffer: Vec::new(),
            refused: false,
        }
    }

    /// What a sink in memory kept.
    pub(crate) fn kept(&self) -> &[u8] {
        &self.buffer
    }

    /// Lets more be written behind the bytes that wait to be handed over.
    ///
    /// # Errors
    /// When it can't be written, or the host takes no more.
    pub(crate) fn append(
        &mut self,
        write: impl FnOnce(Vec<u8>) -> std::result::Result<Vec<u8>, String>,
    ) -> Result<()> {
        let waiting = mem::take(&mut self.buffer);
        self.buffer = write(waiting).map_err(Error::internal)?;
        self.hand_over_pieces().map_err(|_refused| Error::limit())
    }

    /// Hands over what is enough for a piece; after a refusal, whatever there is is refused at once.
    fn hand_over_pieces(&mut self) -> io::Result<()> {
        if self.refused || self.buffer.len() >= BUFFER {
            self.hand_over()?;
        }
        Ok(())
    }

    #[expect(unsafe_code, reason = "calls a function of the host's sink")]
    fn hand_over(&mut self) -> io::Result<()> {
        let Some(out) = self.out.filter(|_| !self.buffer.is_empty()) else {
            return Ok(());
        };
        // SAFETY: `new` demands null or a valid sink.
        let write = unsafe { out.as_ref() }.and_then(|out| out.write);
        let taken = write.is_some_and(|write| {
            // SAFETY: the sink is valid, and the bytes live through the call.
            !self.refused
                && unsafe { write(out, self.buffer.as_ptr(), self.buffer.len()) } == DYB_OK
        });
        self.buffer.clear();
        self.refused |= !taken;
        if taken {
            Ok(())
        } else {
            Err(io::ErrorKind::StorageFull.into())
        }
    }
}

impl io::Write for Sink {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.buffer.extend_from_slice(bytes);
        self.hand_over_pieces()?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.hand_over()
    }
}

impl fmt::Debug for Sink {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Sink")
            .field("refused", &self.refused)
            .finish_non_exhaustive()
    }
}
