//! One dye with two references.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;
use std::collections::BTreeMap;

pub(super) const LINT: Lint = Lint {
    id: "dye-repeated",
    severity: Severity::Stop,
    why: "which of the two counts, nobody can tell",
    run,
    fires: &[LintExample::set(
        "a line copied",
        &[("/references/1/dye", r#""tartrazine""#)],
    )],
    silent: &[LintExample::set(
        "one dye more",
        &[(
            "/references/6",
            r#"{"dye": "green-s", "expected_rf": {"low": 0.76, "high": 0.8}, "source": "an example"}"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut first: BTreeMap<&str, String> = BTreeMap::new();
    let mut findings = Vec::new();
    for (place, reference) in context.references() {
        if let Some(earlier) = first.get(reference.dye.as_str()) {
            let message = format!("{} already has a reference at {earlier}", reference.dye);
            findings.push(
                LINT.finding(format!("{place}/dye"), message)
                    .hint("keep one of the two"),
            );
        } else {
            first.insert(&reference.dye, place);
        }
    }
    findings
}
