//! A start line below or too near the liquid.

use super::{Context, Finding, Lint, LintExample};
use crate::layout::depth_cm;
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "start-line-in-liquid",
    severity: Severity::Warn,
    why: "a start line in the liquid washes the dyes into the chamber",
    run,
    fires: &[LintExample::set(
        "50 mL in a beaker of 7.5 cm, line at 1 cm",
        &[
            ("/chamber/volume_ml", r#"{"low": 45, "high": 50}"#),
            ("/chamber/inner_diameter_cm", "7.5"),
            ("/layout/baseline_cm", "1"),
        ],
    )],
    silent: &[LintExample::set(
        "45 mL in a beaker of 9 cm, line at 1.5 cm",
        &[
            ("/chamber/volume_ml", r#"{"low": 40, "high": 45}"#),
            ("/chamber/inner_diameter_cm", "9"),
            ("/layout/baseline_cm", "1.5"),
        ],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let chamber = context.method.chamber.as_ref();
    let volume = chamber.and_then(|c| c.volume_ml).map(|volume| volume.high);
    let diameter = chamber.and_then(|c| c.inner_diameter_cm);
    let baseline = context.method.layout.as_ref().and_then(|l| l.baseline_cm);
    let (Some(volume), Some(diameter), Some(baseline)) = (volume, diameter, baseline) else {
        return Vec::new();
    };
    let depth = depth_cm(volume, diameter);
    if baseline > depth {
        return Vec::new();
    }
    vec![
        LINT.finding(
            "/layout/baseline_cm",
            format!(
                "{volume} mL stand {depth:.2} cm deep in a chamber of {diameter} cm: the start line at {baseline} cm lies in the liquid, and the dyes wash out"
            ),
        )
        .hint("a higher start line, less liquid or a wider chamber"),
    ]
}
