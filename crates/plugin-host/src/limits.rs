//! What a plug-in may use of the machine.

use std::time::Duration;

use serde::{Deserialize, Serialize};

/// Text of an error, and of a refused file while IMPORT runs.
pub(crate) const MOST_ERROR_BYTES: usize = 4 * 1024;
pub(crate) const MOST_REFUSAL_BYTES: usize = 64 * 1024;
/// What is kept of a plug-in's log.
pub(crate) const MOST_LOG_BYTES: usize = 64 * 1024;
/// What of the log goes with a failure.
pub(crate) const LOG_TAIL_BYTES: usize = 4 * 1024;
/// A `describe` text.
pub(crate) const MOST_DESCRIBE_BYTES: usize = 64 * 1024;

/// Limits of one plug-in: asked for in the manifest, and at most what the host allows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Limits {
    /// MiB of memory.
    pub memory_mb: u64,
    /// Milliseconds a call may take.
    pub base_ms: u64,
    /// Milliseconds more a lane.
    pub per_item_ms: u64,
    /// MiB of output a call.
    pub output_mb: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            memory_mb: 256,
            base_ms: 2000,
            per_item_ms: 50,
            output_mb: 16,
        }
    }
}

impl Limits {
    /// The most that a manifest gets, whatever it asks for.
    pub const CEILING: Self = Self {
        memory_mb: 2048,
        base_ms: 60_000,
        per_item_ms: 1000,
        output_mb: 512,
    };

    /// These limits, but none above the ceiling's.
    #[must_use]
    pub fn at_most(self, ceiling: Self) -> Self {
        Self {
            memory_mb: self.memory_mb.min(ceiling.memory_mb),
            base_ms: self.base_ms.min(ceiling.base_ms),
            per_item_ms: self.per_item_ms.min(ceiling.per_item_ms),
            output_mb: self.output_mb.min(ceiling.output_mb),
        }
    }

    /// What a call on so many items may take.
    pub fn budget(self, items: usize) -> Duration {
        Duration::from_millis(self.base_ms + self.per_item_ms * items as u64)
    }

    pub(crate) fn output_bytes(self) -> usize {
        usize::try_from(self.output_mb).unwrap_or(512) * 1024 * 1024
    }
}
