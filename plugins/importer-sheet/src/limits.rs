//! How much of a file is taken.

/// A class fills a few thousand rows; 64 MiB is a file picked by mistake.
pub(crate) const MOST_BYTES: usize = 64 * 1024 * 1024;
/// Rows of one file.
pub(crate) const MOST_ROWS: u64 = 1_000_000;
