//! One thing wrong with a document, in words for the person who wrote it.

use serde::{Deserialize, Serialize};
use std::fmt;

/// One thing wrong with a document: where, what was found, what was expected, what to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Problem {
    /// JSON Pointer (RFC 6901) to the place; empty for the document itself.
    pub pointer: String,
    /// Line in the text, from 1, where a text was checked.
    pub line: Option<usize>,
    /// What is wrong there, with what was found and what was expected.
    pub message: String,
    /// How to mend it, where that can be told.
    pub hint: Option<String>,
}

impl Problem {
    /// A problem at a place, without line and hint.
    pub fn at(pointer: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            pointer: pointer.into(),
            line: None,
            message: message.into(),
            hint: None,
        }
    }

    /// The same problem with a way to mend it.
    #[must_use]
    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = if self.pointer.is_empty() {
            "the document"
        } else {
            &self.pointer
        };
        write!(f, "{place} {}", self.message)?;
        if let Some(line) = self.line {
            write!(f, " (line {line})")?;
        }
        if let Some(hint) = &self.hint {
            write!(f, "; {hint}")?;
        }
        Ok(())
    }
}
