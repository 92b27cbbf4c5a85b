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
mod claims;
mod context;
mod entry_check;
mod evaluate;
mod evaluated_sheet;
#[cfg(test)]
mod example;
mod exchanged_columns;
mod fitting_dyes;
mod known_spots;
mod offers;
mod possible_front;
mod query_list;
mod quotient_error;
mod run_checks;
mod scale_slip;
mod sheet_view;
mod signatures;
mod verdict;
mod words;

pub use checks::ENTRY_CHECKS;
pub use claims::{
    ArithmeticClaim, Claims, IdentityClaim, LaneClaim, LaneTruth, OwnData, OwnStandard,
    RecordVerdict, SpotClaim, changed_claims, claims,
};
pub use context::{Context, KnownPaper};
pub use entry_check::EntryCheck;
pub use evaluate::evaluate;
pub use evaluated_sheet::{EvaluatedLane, EvaluatedSheet, EvaluatedSpot};
pub use offers::{Column, Edit, Offer, offers};
pub use query_list::{CheckedSheet, Query, as_text, query_list, query_list_csv};
pub use quotient_error::QuotientVerdict;
pub use run_checks::run_checks;
pub use signatures::{
    OtherSignature, Remedy, SIGNATURES, Signature, SignatureModel, SpotIfSo, find_signatures,
};
pub use verdict::Verdict;
