//! The things dyebook keeps and passes on, as plain data: dyes, methods, data sheets, checks and
//! identifications, with the few pure rules that belong to a thing itself (how a decimal is read,
//! how a name finds a dye, when two colour words agree, what a method reference admits).
//!
//! Nothing here reads a file, a clock or a database. A document is parsed into these types only
//! after `dyebook-schemas` has found it valid.

mod canonical;
mod cas_number;
mod check;
mod colour;
mod counted;
mod decimal;
mod digest;
mod dye;
mod dye_register;
mod identification;
mod length;
mod method;
mod method_reference;
mod method_state;
mod reference;
mod rounding;
mod sheet;

pub use canonical::{canonical_json, of_canonical_json_in_order};
pub use cas_number::is_cas_number;
pub use check::{Check, Severity, Where};
pub use colour::{
    COLOUR_WORDS, ColourVerdict, ColourWord, ExpectedColours, SeenColour, colour_word, judge_colour,
};
pub use counted::counted;
pub use decimal::{NotADecimal, WrittenDecimal, nearest_double, nearest_quotient};
pub use digest::{
    Digest, digest_bytes, digest_canonical_without, digest_in_order, digest_value,
    digest_value_without,
};
pub use dye::{Dye, DyeName, NameKind};
pub use dye_register::{DyeLookup, DyeRegister, fold_name};
pub use identification::{
    Candidate, Decision, DyeInLane, ExpectedRange, Identification, LaneIdentity, MethodStamp,
    SpotIdentity, StrategyStamp,
};
pub use length::LengthUnit;
pub use method::{
    Acceptance, Basis, Caution, Chamber, Component, Composition, Convention, Layout, Measuring,
    Method, Minimum, StationaryPhase, Stock,
};
pub use method_reference::{BadMethodReference, MethodReference, WantedVersion};
pub use method_state::MethodState;
pub use reference::{Count, MinorSpot, Range, Reference, Spread};
pub use rounding::{ROUNDING_RULE, half_even, show_rf, show_rf_with_u};
pub use sheet::{Lane, Remark, Role, Row, Sheet, Units, session_name};
