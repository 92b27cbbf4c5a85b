//! What looks wrong in a data sheet, and what it may have been meant to say.
//!
//! ```text
//! sheet + method + dyes --evaluate--> lanes with known dye, spots with Rf ± u
//!                                     --run_checks--> findings, worst first
//! ```
//!
//! A check is one file in `checks/` (an id, why it matters, and a function from the sheet to
//! findings). A finding is a sentence with numbers and with other readings that would explain it.
//! Nothing here corrects anything.

mod checks;
mod context;
mod entry_check;
mod evaluate;
mod evaluated_sheet;
#[cfg(test)]
mod example;
mod exchanged_columns;
mod known_spots;
mod possible_front;
mod quotient_error;
mod run_checks;
mod scale_slip;
mod sheet_view;
mod signatures;
mod words;

pub use checks::ENTRY_CHECKS;
pub use context::{Context, KnownPaper};
pub use entry_check::EntryCheck;
pub use evaluate::evaluate;
pub use evaluated_sheet::{EvaluatedLane, EvaluatedSheet, EvaluatedSpot};
pub use quotient_error::QuotientVerdict;
pub use run_checks::run_checks;
pub use signatures::{
    OtherSignature, Remedy, SIGNATURES, Signature, SignatureModel, SpotIfSo, find_signatures,
};
