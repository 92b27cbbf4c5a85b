//! No way, or two ways, to come to the volume.

use super::{Context, Finding, Lint, LintExample};
use crate::composition::CompositionError;
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "no-single-way-to-volume",
    severity: Severity::Stop,
    why: "exactly one thing must fill up to the volume, else two people make two liquids",
    run,
    fires: &[
        LintExample {
            what: "nothing makes up to volume",
            set: &[],
            unset: &["/developer/components/0"],
        },
        LintExample::set(
            "two liquids make up to volume",
            &[(
                "/developer/components/3",
                r#"{"substance": "ethanol", "make_up_to_volume": true}"#,
            )],
        ),
    ],
    silent: &[LintExample::set(
        "all in parts",
        &[(
            "/developer/components",
            r#"[{"substance": "ethanol", "amount": 1, "basis": "parts v"}, {"substance": "water", "amount": 4, "basis": "parts v"}]"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let Err(error) = &context.liquid else {
        return Vec::new();
    };
    let place = match error {
        CompositionError::NoWayToVolume
        | CompositionError::TwoWaysToVolume { .. }
        | CompositionError::PartsMixed { .. } => "/developer/components".to_owned(),
        _ => return Vec::new(),
    };
    let mut finding = LINT.finding(place, error.to_string());
    finding.hints = error.hints();
    vec![finding]
}
