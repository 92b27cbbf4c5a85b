//! Lanes or run that don't fit on the paper.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;
/// A tenth of a millimetre: nobody cuts paper better.
const SLACK_CM: f64 = 0.01;

/// Below this there is no run to speak of (common practice, no source).
const SHORTEST_CM: f64 = 1.0;

pub(super) const LINT: Lint = Lint {
    id: "layout-does-not-fit",
    severity: Severity::Warn,
    why: "the sheet promises lanes or a front that the paper hasn't got",
    run,
    fires: &[
        LintExample::set("twelve lanes", &[("/layout/lanes", "12")]),
        LintExample::set("a low paper", &[("/layout/paper_height_cm", "7")]),
    ],
    silent: &[LintExample::set(
        "as many as fit exactly",
        &[("/layout/lanes", "7"), ("/layout/paper_width_cm", "14.4")],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let Some(layout) = &context.method.layout else {
        return Vec::new();
    };
    let mut findings = Vec::new();
    if let (Some(lanes), Some(pitch), Some(width)) =
        (layout.lanes, layout.lane_pitch_cm, layout.paper_width_cm)
    {
        let margin = layout.fold_margin_cm.unwrap_or(0.0);
        let needed = f64::from(lanes.saturating_sub(1)) * pitch + 2.0 * margin;
        if needed > width + SLACK_CM {
            let message = format!(
                "{lanes} lanes at {pitch} cm with margins of {margin} cm need {needed:.1} cm, the paper is {width} cm wide"
            );
            findings.push(
                LINT.finding("/layout/lanes", message)
                    .hint("fewer lanes, a smaller pitch or a wider paper"),
            );
        }
    }
    let asked = context
        .method
        .acceptance
        .as_ref()
        .and_then(|a| a.front_min_cm);
    if let Some(run) = layout.run_cm()
        && run + SLACK_CM < asked.unwrap_or(0.0).max(SHORTEST_CM)
    {
        let message = format!(
            "the layout leaves a run of {run:.1} cm, less than the shortest front that counts ({:.1} cm)",
            asked.unwrap_or(SHORTEST_CM)
        );
        findings.push(
            LINT.finding("/layout", message)
                .hint("a higher paper or smaller margins"),
        );
    }
    findings
}
