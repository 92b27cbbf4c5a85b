//! A reference that rests on one paper.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "reference-from-one-paper",
    severity: Severity::Warn,
    why: "spots of one paper share its error: a range from one paper is far too narrow for the next session",
    run,
    fires: &[LintExample::set(
        "nine spots on one paper",
        &[(
            "/references/1/count",
            r#"{"sessions": 1, "papers": 1, "spots": 9}"#,
        )],
    )],
    silent: &[LintExample::set(
        "two papers",
        &[(
            "/references/1/count",
            r#"{"sessions": 3, "papers": 6, "spots": 6}"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    context
        .references()
        .filter(|(_, r)| r.count.and_then(|count| count.papers) == Some(1))
        .map(|(place, r)| {
            LINT.finding(
                format!("{place}/count/papers"),
                format!(
                    "the reference of {} rests on one paper, however many spots it has: later sessions will fall outside",
                    r.dye
                ),
            )
            .hint("run it on more papers in more sessions, and mark it `provisional` until then")
        })
        .collect()
}
