//! An expected range narrower than 0.02.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;
/// Narrowest range that a ruler allows: 0.05 cm in 8 cm is 0.006 to 0.008 (1 standard uncertainty).
const NARROWEST: f64 = 0.02;

/// 0.415 − 0.395 is a little less than 0.02 in binary.
const SLACK: f64 = 1e-9;

pub(super) const LINT: Lint = Lint {
    id: "range-too-narrow",
    severity: Severity::Warn,
    why: "a ruler alone spreads Rf by more than that: true spots fall out of it",
    run,
    fires: &[LintExample::set(
        "0.01 wide",
        &[("/references/2/expected_rf", r#"{"low": 0.4, "high": 0.41}"#)],
    )],
    silent: &[LintExample::set(
        "exactly 0.02 wide",
        &[(
            "/references/2/expected_rf",
            r#"{"low": 0.395, "high": 0.415}"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    context
        .references()
        .filter(|(_, r)| (0.0..NARROWEST - SLACK).contains(&r.expected_rf.width()))
        .filter(|(_, r)| r.expected_rf.low < r.expected_rf.high)
        .map(|(place, r)| {
            LINT.finding(
                format!("{place}/expected_rf"),
                format!(
                    "the expected range of {} is only {:.3} wide, less than reading a ruler spreads Rf: true spots will fall out of it",
                    r.dye, r.expected_rf.width()
                ),
            )
            .hint("estimate it from several papers and sessions")
        })
        .collect()
}
