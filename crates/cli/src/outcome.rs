//! What a command did, ready to be shown.

use crate::table::Table;
use serde_json::Value;

/// What a command did.
#[derive(Debug)]
pub(crate) struct Outcome {
    /// The answer of `--json`.
    pub(crate) json: Value,
    /// The same for a person.
    pub(crate) text: String,
    /// Whether something needs a person: a stop check, an unusable sheet, a failing verify.
    pub(crate) needs_person: bool,
}

impl Outcome {
    /// An answer as it stands.
    pub(crate) fn new(json: Value, text: impl Into<String>) -> Self {
        Self {
            json,
            text: text.into(),
            needs_person: false,
        }
    }

    /// An answer after which somebody has to look.
    pub(crate) fn needing_person(mut self, needs: bool) -> Self {
        self.needs_person = needs;
        self
    }
}

/// Text built line by line.
#[derive(Debug, Default)]
pub(crate) struct Page(String);

impl Page {
    /// One line.
    pub(crate) fn line(&mut self, line: impl AsRef<str>) {
        self.0.push_str(line.as_ref().trim_end());
        self.0.push('\n');
    }

    /// An empty line between paragraphs.
    pub(crate) fn gap(&mut self) {
        if !self.0.is_empty() && !self.0.ends_with("\n\n") {
            self.0.push('\n');
        }
    }

    /// A table.
    pub(crate) fn table(&mut self, table: &Table) {
        self.0.push_str(&table.to_string());
    }

    /// The text.
    pub(crate) fn text(self) -> String {
        self.0
    }
}
