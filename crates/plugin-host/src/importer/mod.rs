//! Calling an importer: one instance a file.

mod bounds;
mod handle;

pub use handle::{ImportOutcome, ImporterHandle};
