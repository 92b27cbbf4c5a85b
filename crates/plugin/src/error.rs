//! How a plug-in says that it could not do what was asked.

use std::fmt;

use dyebook_plugin_abi::{
    DYB_E_CANCELLED, DYB_E_DATA, DYB_E_INTERNAL, DYB_E_INVALID, DYB_E_LIMIT, DYB_E_PANIC,
    DYB_E_UNSUPPORTED, dyb_status,
};

/// What most functions of a plug-in return.
pub type Result<T, E = Error> = std::result::Result<T, E>;

/// A failure: a status of the C table and a sentence.
///
/// Any `&str` or `String` becomes one that says that the data can't be used, which is what a
/// plug-in mostly has to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Error {
    status: dyb_status,
    text: String,
}

impl Error {
    fn new(status: dyb_status, text: impl Into<String>) -> Self {
        Self {
            status,
            text: text.into(),
        }
    }

    /// The data given can't be used.
    pub fn data(text: impl Into<String>) -> Self {
        Self::new(DYB_E_DATA, text)
    }

    /// Called out of order, or with arguments that make no sense.
    pub fn invalid(text: impl Into<String>) -> Self {
        Self::new(DYB_E_INVALID, text)
    }

    /// The plug-in's own bug.
    pub fn internal(text: impl Into<String>) -> Self {
        Self::new(DYB_E_INTERNAL, text)
    }

    /// The host asked to stop.
    pub fn cancelled() -> Self {
        Self::new(DYB_E_CANCELLED, "stopped at the host's wish")
    }

    pub(crate) fn unsupported(op: u32) -> Self {
        Self::new(
            DYB_E_UNSUPPORTED,
            format!("operation {op} is not one of this component"),
        )
    }

    pub(crate) fn limit() -> Self {
        Self::new(DYB_E_LIMIT, "the host takes no more output")
    }

    pub(crate) fn panic(text: String) -> Self {
        Self::new(DYB_E_PANIC, text)
    }

    /// The status of the C table.
    pub fn status(&self) -> dyb_status {
        self.status
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl std::error::Error for Error {}

impl From<&str> for Error {
    fn from(text: &str) -> Self {
        Self::data(text)
    }
}

impl From<String> for Error {
    fn from(text: String) -> Self {
        Self::data(text)
    }
}
