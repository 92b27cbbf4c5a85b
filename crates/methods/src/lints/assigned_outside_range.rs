//! An assigned value outside its own expected range.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "assigned-outside-range",
    severity: Severity::Stop,
    why: "value and range are of two estimates, or a number is mistyped",
    run,
    fires: &[LintExample::set(
        "a mistyped value",
        &[("/references/1/assigned_rf", "0.92")],
    )],
    silent: &[LintExample::set(
        "a value at the end of the range",
        &[("/references/1/assigned_rf", "0.33")],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let outside = |(_, r): &(String, &dyebook_documents::Reference)| {
        r.assigned_rf.is_some_and(|rf| !r.expected_rf.contains(rf))
            && r.expected_rf.low < r.expected_rf.high
    };
    context
        .references()
        .filter(outside)
        .map(|(place, r)| {
            LINT.finding(
                format!("{place}/assigned_rf"),
                format!(
                    "the assigned Rf {} of {} lies outside its expected range {} to {}",
                    r.centre(),
                    r.dye,
                    r.expected_rf.low,
                    r.expected_rf.high
                ),
            )
            .hint("one of the three numbers is wrong")
        })
        .collect()
}
