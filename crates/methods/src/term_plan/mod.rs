//! From sections and groups to papers, developing solvent and vials.

mod quantities;
mod term;
mod term_change;

pub use quantities::{Quantity, SectionNeeds, TermPlan, plan_term};
pub use term::{Section, Term, TermError};
pub use term_change::{QuantityChange, term_change};

#[cfg(test)]
mod tests;
