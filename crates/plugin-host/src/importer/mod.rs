//! Calling an importer: one instance a file.

pub(crate) mod bounds;
mod handle;

pub use handle::{ImportOutcome, ImporterHandle};
