//! Volume fractions that don't sum to 100.

use super::{Context, Finding, Lint, LintExample};
use crate::composition::CompositionError;
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "fractions-dont-add-up",
    severity: Severity::Stop,
    why: "somebody forgot a component or changed one fraction only",
    run,
    fires: &[LintExample::set(
        "30 and 60",
        &[(
            "/developer/components",
            r#"[{"substance": "ethanol", "amount": 30, "basis": "% v/v"}, {"substance": "water", "amount": 60, "basis": "% v/v"}]"#,
        )],
    )],
    silent: &[LintExample::set(
        "30 and 70",
        &[(
            "/developer/components",
            r#"[{"substance": "ethanol", "amount": 30, "basis": "% v/v"}, {"substance": "water", "amount": 70, "basis": "% v/v"}]"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let Err(error) = &context.liquid else {
        return Vec::new();
    };
    let place = match error {
        CompositionError::FractionsDontAddUp { .. } => "/developer/components".to_owned(),
        _ => return Vec::new(),
    };
    let mut finding = LINT.finding(place, error.to_string());
    finding.hints = error.hints();
    vec![finding]
}
