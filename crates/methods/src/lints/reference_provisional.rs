//! A reference below the lab's own minimum.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "reference-provisional",
    severity: Severity::Info,
    why: "the range is wider than it will be, or narrower than it should be",
    run,
    fires: &[
        LintExample::set("marked so", &[("/references/1/provisional", "true")]),
        LintExample::set(
            "too few papers",
            &[(
                "/references/1/count",
                r#"{"sessions": 2, "papers": 4, "spots": 8}"#,
            )],
        ),
    ],
    silent: &[LintExample::set(
        "enough papers",
        &[(
            "/references/1/count",
            r#"{"sessions": 3, "papers": 6, "spots": 8}"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let minimum = context.method.minimum;
    context
        .references()
        .filter_map(|(place, r)| {
            let short = minimum.zip(r.count).is_some_and(|(minimum, count)| {
                count.papers.is_some_and(|n| n < minimum.papers)
                    || count.sessions.is_some_and(|n| n < minimum.sessions)
            });
            let message = match (r.provisional, minimum) {
                (Some(true), _) => format!("the reference of {} is provisional", r.dye),
                (_, Some(minimum)) if short => format!(
                    "the reference of {} rests on less than the {} papers in {} sessions that this method asks for",
                    r.dye, minimum.papers, minimum.sessions
                ),
                _ => return None,
            };
            Some(LINT.finding(place, message).hint("run more papers in more sessions"))
        })
        .collect()
}
