//! Calling an importer: one instance a file.

mod handle;

pub use handle::{ImportOutcome, ImporterHandle};
