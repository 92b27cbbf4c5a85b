//! The reference library: one SQLite file that holds dyes, method versions, data sheets as handed
//! in, identifications, and the history of every change. The only crate with SQL.
//!
//! * Every change is one transaction and leaves a [`ChangeRecord`] in a hash chain, see
//!   [`Change`].
//! * What was approved, handed in or recorded is guarded by triggers in the file itself.
//! * [`Library::verify`] walks the chain and recomputes every digest.

mod backup;
mod change;
mod dyes;
mod error;
mod file_system;
mod history;
mod identifications;
mod lab_notes;
mod methods;
mod migrations;
mod open;
mod sheets;
mod status;
mod truth;
mod verify;

pub use backup::RestoreReport;
pub use change::{Change, Stamp};
pub use dyes::KeptDye;
pub use error::LibraryError;
pub use history::ChangeRecord;
pub use identifications::KeptIdentification;
pub use lab_notes::{Applicability, ChecklistItem, Exclusion};
pub use methods::{KeptMethod, Origin};
pub use migrations::SCHEMA_VERSION;
pub use open::{Library, LibraryInfo};
pub use sheets::{
    HandedInBefore, KeptSheet, NewRevision, RevisionKind, SheetLine, SourceFile, content_digest,
};
pub use status::Status;
pub use truth::LaneTruth;
pub use verify::{Finding, VerifyReport};
