//! Why a use case could not do what was asked, in one shape for all of them.

use dyebook_library::LibraryError;
use dyebook_schemas::Problem;
use serde::Serialize;

/// Why nothing was done: what, where, why it matters, what to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Failure {
    /// A name that never changes, e.g. `method.bump-too-small`.
    pub id: String,
    /// What is wrong, in one line.
    pub message: String,
    /// Places, found values, expected values: one line each.
    pub details: Vec<String>,
    /// What to do; at most two, ready to be pasted.
    pub hints: Vec<String>,
    /// Whose turn it is.
    #[serde(skip)]
    pub class: FailureClass,
}

/// Whose turn it is when something failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FailureClass {
    /// What was given is refused; nothing was written.
    Refused,
    /// The reference library can't be used.
    Library,
    /// A plug-in failed.
    PlugIn,
    /// A person stopped it.
    Stopped,
    /// A mistake of this program.
    Bug,
}

impl Failure {
    /// A refusal.
    pub fn refused(id: &str, message: impl Into<String>) -> Self {
        Self::new(FailureClass::Refused, id, message)
    }

    /// Any failure.
    pub fn new(class: FailureClass, id: &str, message: impl Into<String>) -> Self {
        Self {
            id: id.to_owned(),
            message: message.into(),
            details: Vec::new(),
            hints: Vec::new(),
            class,
        }
    }

    /// With another detail line.
    #[must_use]
    pub fn detail(mut self, line: impl Into<String>) -> Self {
        self.details.push(line.into());
        self
    }

    /// With all these detail lines.
    #[must_use]
    pub fn details(mut self, lines: impl IntoIterator<Item = String>) -> Self {
        self.details.extend(lines);
        self
    }

    /// With something to do.
    #[must_use]
    pub fn hint(mut self, line: impl Into<String>) -> Self {
        self.hints.push(line.into());
        self
    }

    /// A document that its schema refuses.
    pub fn not_valid(name: &str, kind: &str, problems: &[Problem]) -> Self {
        let article = if kind.starts_with(['a', 'e', 'i', 'o']) {
            "an"
        } else {
            "a"
        };
        let width = problems.iter().map(|p| p.pointer.len()).max().unwrap_or(0);
        let mut failure = Self::refused(
            "document.not-valid",
            format!("`{name}` is not {article} {kind} document that can be used"),
        );
        for problem in problems {
            let place = if problem.pointer.is_empty() {
                "/"
            } else {
                &problem.pointer
            };
            let line = problem
                .line
                .map(|l| format!(" (line {l})"))
                .unwrap_or_default();
            let cure = problem
                .hint
                .as_ref()
                .map(|h| format!("; {h}"))
                .unwrap_or_default();
            failure
                .details
                .push(format!("{place:width$}   {}{line}{cure}", problem.message));
        }
        failure
    }
}

impl From<LibraryError> for Failure {
    fn from(error: LibraryError) -> Self {
        let class = if error.is_refusal() {
            FailureClass::Refused
        } else {
            FailureClass::Library
        };
        let mut failure = Self::new(class, error.id(), error.to_string());
        failure.hints = error.hints();
        failure
    }
}
