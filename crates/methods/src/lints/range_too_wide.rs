//! An expected range wider than 0.30.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;
/// Widest range that says something (common practice, no source).
const WIDEST: f64 = 0.30;

/// 0.66 − 0.36 is a little more than 0.30 in binary.
const SLACK: f64 = 1e-9;

pub(super) const LINT: Lint = Lint {
    id: "range-too-wide",
    severity: Severity::Warn,
    why: "a third of the paper is no expectation: many dyes fall into it (limit: common practice, no source)",
    run,
    fires: &[LintExample::set(
        "0.4 wide",
        &[(
            "/references/2/expected_rf",
            r#"{"low": 0.36, "high": 0.76}"#,
        )],
    )],
    silent: &[LintExample::set(
        "exactly 0.3 wide",
        &[
            (
                "/references/2/expected_rf",
                r#"{"low": 0.36, "high": 0.66}"#,
            ),
            ("/critical_pairs", r#"[["allura-red-ac", "ponceau-4r"]]"#),
        ],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    context
        .references()
        .filter(|(_, r)| r.expected_rf.width() > WIDEST + SLACK)
        .map(|(place, r)| {
            LINT.finding(
                format!("{place}/expected_rf"),
                format!(
                    "the expected range of {} is {:.2} wide: other dyes fall into it too",
                    r.dye,
                    r.expected_rf.width()
                ),
            )
            .hint("more papers and sessions make it narrower; check them for a mistake")
        })
        .collect()
}
