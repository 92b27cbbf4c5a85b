//! What makes a method a method: its composition in one form, its digest, which version step a
//! change needs, what looks wrong in it, how its developing solvent is made up and whether its
//! paper works.
//!
//! Pure rules over documents. Nothing here reads a file, a clock or a database.

pub mod composition;
mod content_digest;
pub mod layout;
pub mod lints;
pub mod recipe;
pub mod rules;
pub mod solvents;
pub mod term_plan;

pub use content_digest::content_digest;

#[cfg(test)]
mod answer_tests;
#[cfg(test)]
mod test_method;
