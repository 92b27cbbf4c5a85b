//! The end of what a plug-in said beside its answers.

use crate::limits::{LOG_TAIL_BYTES, MOST_LOG_BYTES};

/// Keeps the last of what is written to it and counts the rest.
#[derive(Debug, Default)]
pub(crate) struct Log {
    kept: Vec<u8>,
    dropped: u64,
}

impl Log {
    pub(crate) fn write(&mut self, bytes: &[u8]) {
        let bytes = match bytes.len().checked_sub(MOST_LOG_BYTES) {
            Some(over) => {
                self.dropped += over as u64;
                bytes.get(over..).unwrap_or_default()
            }
            None => bytes,
        };
        self.kept.extend_from_slice(bytes);
        // Cut by halves, so that a flood of short lines does not move the bytes for each of them.
        if self.kept.len() > 2 * MOST_LOG_BYTES {
            let over = self.kept.len() - MOST_LOG_BYTES;
            self.dropped += over as u64;
            self.kept.drain(..over);
        }
    }

    /// The last lines, for a message.
    pub(crate) fn tail(&self) -> String {
        let from = self.kept.len().saturating_sub(LOG_TAIL_BYTES);
        String::from_utf8_lossy(self.kept.get(from..).unwrap_or_default())
            .trim_end()
            .to_owned()
    }

    /// How much was written, kept or not.
    pub(crate) fn total(&self) -> u64 {
        self.dropped + self.kept.len() as u64
    }
}
