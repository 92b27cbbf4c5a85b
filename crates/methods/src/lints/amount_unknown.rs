//! A component without an amount.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "amount-unknown",
    severity: Severity::Warn,
    why: "without the amount no batch can be made up and no two recipes compared",
    run,
    fires: &[LintExample::set(
        "salt, amount unstated",
        &[(
            "/developer/components/2",
            r#"{"substance": "sodium chloride"}"#,
        )],
    )],
    silent: &[LintExample::set(
        "salt with its amount",
        &[("/developer/components/2/amount", "1.3")],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let components = context.method.developer.components.iter().enumerate();
    components
        .filter(|(_, c)| c.amount.is_none() && c.make_up_to_volume != Some(true))
        .map(|(index, c)| {
            LINT.finding(
                format!("/developer/components/{index}"),
                format!(
                    "how much {} there is, is not known: nobody can make the liquid up or compare it",
                    c.substance
                ),
            )
            .hint("add `amount` and `basis`, or `\"make_up_to_volume\": true`")
        })
        .collect()
}
