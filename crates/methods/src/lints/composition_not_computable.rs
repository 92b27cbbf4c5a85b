//! A composition that can't be turned into g/L.

use super::{Context, Finding, Lint, LintExample};
use crate::composition::CompositionError;
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "composition-not-computable",
    severity: Severity::Warn,
    why: "what is not known in g/L can not be compared with another version, made up or checked",
    run,
    fires: &[
        LintExample::set(
            "ammonia by volume without its stock",
            &[(
                "/developer/components/1",
                r#"{"substance": "ammonia", "amount": 1, "basis": "% v/v"}"#,
            )],
        ),
        LintExample::set(
            "a mass percent of two solutes without density",
            &[("/developer/components/2/basis", r#""% w/w""#)],
        ),
    ],
    silent: &[LintExample::set(
        "a mass percent with the density",
        &[
            ("/developer/components/2/basis", r#""% w/w""#),
            ("/developer/density_g_per_ml", "1.008"),
        ],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let Err(error) = &context.liquid else {
        return Vec::new();
    };
    let place = match error {
        CompositionError::NoLiquid { substance, .. }
        | CompositionError::StockDensityUnknown { substance, .. }
        | CompositionError::LiquidDensityUnknown { substance }
        | CompositionError::NoRoomLeft { substance, .. } => context.component_place(substance),
        _ => return Vec::new(),
    };
    let mut finding = LINT.finding(place, error.to_string());
    finding.hints = error.hints();
    vec![finding]
}
