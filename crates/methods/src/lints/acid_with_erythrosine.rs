//! An acid developing solvent turns erythrosine into its little-soluble acid.

use super::{Context, Finding, Lint, LintExample};
use crate::composition::predicted_ph;
use dyebook_documents::Severity;
/// Food additives data book, erythrosine, p. 233: sparingly soluble acid below about pH 3 to 4.
const SPARINGLY_SOLUBLE_BELOW_PH: f64 = 4.0;

pub(super) const LINT: Lint = Lint {
    id: "acid-with-erythrosine",
    severity: Severity::Warn,
    why: "below about pH 3 to 4 erythrosine turns into an acid that hardly dissolves: it stays low, tails or streaks",
    run,
    fires: &[LintExample::set(
        "erythrosine in acid salt water",
        &[(
            "/references/6",
            r#"{"dye": "erythrosine", "expected_rf": {"low": 0.13, "high": 0.21}, "colours": ["pink"], "source": "an example"}"#,
        )],
    )],
    silent: &[
        LintExample::set(
            "erythrosine with its behaviour noted",
            &[(
                "/references/6",
                r#"{"dye": "erythrosine", "expected_rf": {"low": 0.13, "high": 0.21}, "colours": ["pink"], "source": "an example", "behaviour": "streaks in acid"}"#,
            )],
        ),
        LintExample::set(
            "erythrosine without acid",
            &[
                (
                    "/references/6",
                    r#"{"dye": "erythrosine", "expected_rf": {"low": 0.13, "high": 0.21}, "colours": ["pink"], "source": "an example"}"#,
                ),
                (
                    "/developer/components/1",
                    r#"{"substance": "ethanol", "amount": 5, "basis": "% v/v"}"#,
                ),
            ],
        ),
    ],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let Ok(liquid) = &context.liquid else {
        return Vec::new();
    };
    let Ok(predicted) = predicted_ph(liquid) else {
        return Vec::new();
    };
    if predicted.ph >= SPARINGLY_SOLUBLE_BELOW_PH {
        return Vec::new();
    }
    let found = context
        .references()
        .find(|(_, r)| r.dye == "erythrosine" && r.behaviour.is_none());
    found
        .map(|(place, _)| {
            LINT.finding(
                place,
                format!(
                    "the developing solvent has a predicted pH of {:.1}, and erythrosine turns into a little-soluble acid below about pH 4: expect it low, tailing or streaked",
                    predicted.ph
                ),
            )
            .hint("say so in its `behaviour`, or run erythrosine in a neutral liquid")
        })
        .into_iter()
        .collect()
}
