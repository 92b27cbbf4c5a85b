//! What the tests of this project share: a temporary reference library, a clock that stands still,
//! the program in a folder of its own with nothing of the surroundings, and builders for data
//! sheets and methods. Never shipped.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::missing_panics_doc,
    reason = "a test stops where its preparation fails"
)]

mod clock;
mod dialect;
mod lab;
pub mod large_term;
mod method_draft;
mod sheet_csv;
pub mod simulated_term;
mod sqlite_copy;
mod temporary_library;

pub use clock::{BY, NOW, stamp};
pub use dialect::{Dialect, Encoding, Unit};
pub use lab::{Lab, Said};
pub use method_draft::MethodDraft;
pub use sheet_csv::{SheetCsv, SpotRow};
pub use sqlite_copy::is_copy;
pub use temporary_library::TemporaryLibrary;
