//! workflows
