//! A range whose lower end is not below its upper end.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;
use serde_json::Value;

pub(super) const LINT: Lint = Lint {
    id: "range-reversed",
    severity: Severity::Stop,
    why: "nothing can lie in such a range",
    run,
    fires: &[
        LintExample::set(
            "ends exchanged",
            &[(
                "/references/0/expected_rf",
                r#"{"low": 0.155, "high": 0.055}"#,
            )],
        ),
        LintExample::set(
            "a window without width",
            &[("/temperature_c", r#"{"low": 20, "high": 20}"#)],
        ),
    ],
    silent: &[LintExample::set(
        "a wider window",
        &[("/temperature_c/low", "15")],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    look("", context.document, &mut findings);
    findings
}

/// Looks at every member that has `low` and `high`, wherever it stands.
fn look(place: &str, value: &Value, findings: &mut Vec<Finding>) {
    match value {
        Value::Object(members) => {
            let end = |key| members.get(key).and_then(Value::as_f64);
            if let (Some(low), Some(high)) = (end("low"), end("high"))
                && low >= high
            {
                findings.push(
                    LINT.finding(
                        place,
                        format!("the lower end {low} is not below the upper end {high}"),
                    )
                    .hint("exchange the two, or mend the mistyped one"),
                );
            }
            for (key, member) in members {
                look(&format!("{place}/{key}"), member, findings);
            }
        }
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                look(&format!("{place}/{index}"), item, findings);
            }
        }
        _ => {}
    }
}
