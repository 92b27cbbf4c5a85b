//! Strong salt water hardly dissolves erythrosine.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;
/// Food additives data book, erythrosine, p. 233: only slightly soluble in 5 % salt.
const SLIGHTLY_SOLUBLE_ABOVE_G_PER_L: f64 = 50.0;

pub(super) const LINT: Lint = Lint {
    id: "salt-with-erythrosine",
    severity: Severity::Warn,
    why: "erythrosine is only slightly soluble in 5 % salt: it may not move at all",
    run,
    fires: &[LintExample::set(
        "erythrosine in 6 % salt",
        &[
            (
                "/references/6",
                r#"{"dye": "erythrosine", "expected_rf": {"low": 0.13, "high": 0.21}, "colours": ["pink"], "source": "an example"}"#,
            ),
            ("/developer/components/2/amount", "6"),
        ],
    )],
    silent: &[LintExample::set(
        "6 % salt without erythrosine",
        &[("/developer/components/2/amount", "6")],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let Ok(liquid) = &context.liquid else {
        return Vec::new();
    };
    let salt = liquid.g_per_l("sodium-chloride");
    let found = context
        .references()
        .find(|(_, r)| r.dye == "erythrosine" && r.behaviour.is_none());
    match found {
        Some((place, _)) if salt > SLIGHTLY_SOLUBLE_ABOVE_G_PER_L => vec![
            LINT.finding(
                place,
                format!(
                    "the developing solvent holds {salt:.0} g/L of salt, and erythrosine is only slightly soluble above 50 g/L: it may stay at the start"
                ),
            )
            .hint("say so in its `behaviour`, or use less salt"),
        ],
        _ => Vec::new(),
    }
}
