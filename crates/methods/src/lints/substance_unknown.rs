//! A substance of which a constant is needed and not known.

use super::{Context, Finding, Lint, LintExample};
use crate::composition::CompositionError;
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "substance-unknown",
    severity: Severity::Stop,
    why: "the basis needs a molar mass or density that nobody here knows: a slip of the pen or the wrong basis",
    run,
    fires: &[
        LintExample {
            what: "a slip of the pen",
            set: &[("/developer/components/1/substance", r#""acetic acd""#)],
            unset: &["/developer/components/1/stock"],
        },
        LintExample::set(
            "a bottle in place of its substance",
            &[("/developer/components/1/substance", r#""white vinegar""#)],
        ),
    ],
    silent: &[LintExample::set(
        "an unknown substance in g/L",
        &[(
            "/developer/components/3",
            r#"{"substance": "a buffer of our own", "amount": 1, "basis": "g/L"}"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let Err(error) = &context.liquid else {
        return Vec::new();
    };
    let place = match error {
        CompositionError::UnknownSubstance { substance, .. } => context.component_place(substance),
        CompositionError::StockForSubstance { stock, .. } => context.component_place(stock),
        _ => return Vec::new(),
    };
    let mut finding = LINT.finding(place, error.to_string());
    finding.hints = error.hints();
    vec![finding]
}
