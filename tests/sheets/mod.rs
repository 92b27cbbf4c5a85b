//! Data sheets in: every dialect, all or nothing, once.

mod amended;
mod dialects;
mod refused;
mod resubmitted;
