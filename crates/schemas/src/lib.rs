//! Is this JSON a valid document, and if not: where, why, what then.
//!
//! Every document that dyebook reads, keeps or answers with has a JSON Schema (draft 2020-12) in
//! the folder `schemas/`. They are embedded here, and this crate is the only one that knows the
//! validator. What it finds wrong becomes a [`Problem`]: the place as a JSON Pointer and a line,
//! the value found, what was expected, and where possible the cure.
//!
//! ```
//! use dyebook_schemas::{catalogue, check_text};
//!
//! let problems = check_text(&catalogue::CHECK, r#"{ "check": "front-tilt", "severety": "warn" }"#)
//!     .unwrap_err();
//! assert!(problems.iter().any(|p| p.hint.as_deref() == Some("did you mean `severity`?")));
//! ```

pub mod catalogue;
mod explain;
mod foreign_schema;
mod limits;
mod place;
mod problem;
mod validate;

pub use catalogue::Schema;
pub use foreign_schema::check_against;
pub use place::line_of;
pub use problem::Problem;
pub use validate::{check_text, check_value, parse};
