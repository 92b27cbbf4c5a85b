//! A version that ends before it begins.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "dates-reversed",
    severity: Severity::Stop,
    why: "no sheet can fall into its dates",
    run,
    fires: &[LintExample::set(
        "ends before it begins",
        &[("/effective_to", r#""2026-08-01""#)],
    )],
    silent: &[LintExample::set(
        "a single day",
        &[("/effective_to", r#""2026-09-01""#)],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    match (context.method.effective_from, context.method.effective_to) {
        (Some(from), Some(to)) if to < from => vec![
            LINT.finding(
                "/effective_to",
                format!("the last day {to} lies before the first day {from}"),
            )
            .hint("mend one of the two"),
        ],
        _ => Vec::new(),
    }
}
