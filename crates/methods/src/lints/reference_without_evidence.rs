//! A reference with neither counts nor a source.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "reference-without-evidence",
    severity: Severity::Info,
    why: "where the number is from is not said",
    run,
    fires: &[LintExample {
        what: "neither",
        set: &[],
        unset: &["/references/1/count"],
    }],
    silent: &[LintExample {
        what: "a source",
        set: &[("/references/1/source", r#""an example""#)],
        unset: &["/references/1/count"],
    }],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    context
        .references()
        .filter(|(_, r)| r.count.is_none() && r.source.is_none())
        .map(|(place, r)| {
            let message = format!("where the reference of {} comes from is not said", r.dye);
            LINT.finding(place, message).hint("add `count` or `source`")
        })
        .collect()
}
