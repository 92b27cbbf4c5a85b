//! An expected range that touches 0 or 1.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "range-touches-edge",
    severity: Severity::Warn,
    why: "at the start line and at the front every dye looks alike",
    run,
    fires: &[
        LintExample::set("at the start", &[("/references/0/expected_rf/low", "0")]),
        LintExample::set("at the front", &[("/references/4/expected_rf/high", "1")]),
    ],
    silent: &[LintExample::set(
        "near the front",
        &[("/references/4/expected_rf/high", "0.99")],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    context
        .references()
        .filter_map(|(place, r)| {
            let where_ = match () {
                () if r.expected_rf.low <= 0.0 => "the start line",
                () if r.expected_rf.high >= 1.0 => "the front",
                () => return None,
            };
            let message = format!(
                "the expected range of {}, {} to {}, touches {where_}, where many dyes end up",
                r.dye, r.expected_rf.low, r.expected_rf.high
            );
            Some(
                LINT.finding(format!("{place}/expected_rf"), message)
                    .hint("such a dye is told apart by colour only; say so in its `behaviour`"),
            )
        })
        .collect()
}
