//! An amount without a basis.

use super::{Context, Finding, Lint, LintExample};
use crate::composition::missing_bases;
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "basis-missing",
    severity: Severity::Stop,
    why: "one number read with two bases can mean liquids that are 20-fold apart",
    run,
    fires: &[LintExample::set(
        "one percent of acetic acid",
        &[(
            "/developer/components/1",
            r#"{"substance": "acetic acid", "amount": 1}"#,
        )],
    )],
    silent: &[LintExample::set(
        "with its basis",
        &[(
            "/developer/components/1",
            r#"{"substance": "acetic acid", "amount": 1, "basis": "% w/v"}"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    missing_bases(context.document)
        .into_iter()
        .map(|(place, readings)| {
            LINT.finding(place, readings.message()).hint(
                "add `basis`, and `stock` with its strength where it is measured from a bottle",
            )
        })
        .collect()
}
