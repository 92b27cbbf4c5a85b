//! The reference library: one SQLite file that holds dyes, method versions, data sheets as handed
//! in, identifications, and the history of every change. The only crate with SQL.
//!
//! * Every change is one transaction and leaves a [`ChangeRecord`] in a hash chain, see
//!   [`Change`].
//! * What was approved, handed in or recorded is guarded by triggers in the file itself.
//! * [`Library::verify`] walks the chain and recomputes every digest.

mod backup;
mod change;
mod connect;
mod copy;
mod create;
mod dyes;
mod error;
mod file_system;
mod history;
mod identifications;
mod keep_sheets;
mod lab_notes;
mod log_to_disk;
mod lost_log;
mod methods;
mod migrations;
mod open;
mod packed;
mod restore;
mod seal;
mod sheets;
mod status;
mod truth;
mod verify;

pub use change::{Change, Stamp};
pub use dyes::KeptDye;
pub use error::LibraryError;
pub use history::ChangeRecord;
pub use identifications::{KeptIdentification, NewIdentification};
pub use keep_sheets::{NewRevision, RevisionKind, SourceFile};
pub use lab_notes::{Applicability, ChecklistItem, Exclusion};
pub use methods::{KeptMethod, Origin};
pub use migrations::SCHEMA_VERSION;
pub use open::{Library, LibraryInfo, PATIENCE};
pub use packed::Packed;
pub use restore::RestoreReport;
pub use sheets::{HandedInBefore, KeptSheet, SheetLine, content_digest, content_digest_of_text};
pub use status::Status;
pub use truth::LaneTruth;
pub use verify::{Finding, VerifyReport};
