//! A caution without a date.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "caution-undated",
    severity: Severity::Info,
    why: "sheets are revised and contradict each other: without a date nobody can tell whether it is the current one",
    run,
    fires: &[LintExample::set(
        "date not known",
        &[("/cautions/0/date", "null")],
    )],
    silent: &[LintExample::set(
        "another date",
        &[("/cautions/0/date", r#""2024""#)],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let cautions = context.method.cautions.iter().flatten().enumerate();
    cautions
        .filter(|(_, caution)| caution.date.is_none())
        .map(|(index, caution)| {
            LINT.finding(
                format!("/cautions/{index}/date"),
                format!("the caution from `{}` has no date", caution.source),
            )
            .hint("compare it with the supplier's current safety data sheet and date it")
        })
        .collect()
}
