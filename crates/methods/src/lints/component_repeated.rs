//! One substance in two components.

use super::{Context, Finding, Lint, LintExample};
use crate::composition::substance_key;
use dyebook_documents::Severity;
use std::collections::BTreeSet;

pub(super) const LINT: Lint = Lint {
    id: "component-repeated",
    severity: Severity::Warn,
    why: "two lines of one substance are mostly a line copied and not changed",
    run,
    fires: &[LintExample::set(
        "salt twice, by two names",
        &[(
            "/developer/components/3",
            r#"{"substance": "NaCl", "amount": 1, "basis": "g/L"}"#,
        )],
    )],
    silent: &[LintExample::set(
        "another salt",
        &[(
            "/developer/components/3",
            r#"{"substance": "sodium sulfate", "amount": 1, "basis": "g/L"}"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut seen = BTreeSet::new();
    let components = context.method.developer.components.iter().enumerate();
    components
        .filter(|(_, c)| !seen.insert(substance_key(&c.substance)))
        .map(|(index, c)| {
            LINT.finding(
                format!("/developer/components/{index}/substance"),
                format!(
                    "{} stands in the recipe twice; the amounts are added up",
                    c.substance
                ),
            )
            .hint("keep one line, or leave it if both are meant")
        })
        .collect()
}
