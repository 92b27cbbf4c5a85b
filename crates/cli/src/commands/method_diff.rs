//! `method diff`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_methods::rules::Diff;
use dyebook_workflows::{Failure, diff_methods};
use serde_json::json;

/// What changed between two versions.
#[derive(Debug, clap::Args)]
pub(crate) struct MethodDiff {
    /// The earlier version
    #[arg(value_name = "REF")]
    from: String,
    /// The later version
    #[arg(value_name = "REF")]
    to: String,
}

impl MethodDiff {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let diff = diff_methods(&desk.open()?, &self.from, &self.to)?;
        let mut page = Page::default();
        page.line(format!(
            "from {} to {}: the changes need {}, the versions declare {}",
            diff.from,
            diff.to,
            bump_words(diff.required.word()),
            bump_words(diff.declared.word())
        ));
        changes(&mut page, &diff);
        Ok(Outcome::new(json!(diff), page.text()))
    }
}

/// Every change with its rule.
pub(crate) fn changes(page: &mut Page, diff: &Diff) {
    if diff.changes.is_empty() {
        page.line("  no difference");
    }
    for change in &diff.changes {
        page.line(format!(
            "  {:5}  {} ({})",
            change.bump.word(),
            change.message,
            change.rule
        ));
        page.line(format!("         {}", change.why));
    }
}

/// `a major step`, `no step`.
pub(crate) fn bump_words(word: &str) -> String {
    if word == "none" {
        "no step".to_owned()
    } else {
        format!("a {word} step")
    }
}
