//! library
