//! Version rules: which step of the version number does a change need?
//!
//! The test behind every rule: can Rf values recorded under both versions be compared? A rule is
//! a file in `crates/methods/rules/` with its id, the step, the reason and examples that it sees
//! and doesn't see; Rust only where a rule must compute.

mod bump;
mod check_bump;
mod composition_rule;
mod declared_bump;
mod diff;
mod normalised;
mod path_pattern;
mod rule;
mod run_length_rule;
mod wording;

pub use bump::Bump;
pub use check_bump::{VersionRefused, check_bump};
pub use declared_bump::{declared_bump, next_version};
pub use diff::{Change, Diff, diff};
pub use rule::{Compute, Rule, RuleExample, When, rules};

#[cfg(test)]
mod tests;
