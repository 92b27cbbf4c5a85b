//! A hazardous component without a caution.

use super::{Context, Finding, Lint, LintExample};
use crate::composition::{Substance, substance};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "caution-missing",
    severity: Severity::Warn,
    why: "who makes the liquid up must be told; the words come from a source, never from the program",
    run,
    fires: &[
        LintExample {
            what: "no caution at all",
            set: &[],
            unset: &["/cautions"],
        },
        LintExample::set(
            "ammonia without its caution",
            &[(
                "/developer/components/3",
                r#"{"substance": "ammonia", "amount": 1, "basis": "g/L"}"#,
            )],
        ),
    ],
    silent: &[LintExample::set(
        "salt needs none",
        &[(
            "/developer/components/3",
            r#"{"substance": "sodium sulfate", "amount": 1, "basis": "g/L"}"#,
        )],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let cautions: Vec<String> = context
        .method
        .cautions
        .iter()
        .flatten()
        .map(|caution| caution.text.to_lowercase())
        .collect();
    let components = context.method.developer.components.iter().enumerate();
    components
        .filter_map(|(index, c)| Some((index, substance(&c.substance)?)))
        .filter(|(_, known)| !cautions.iter().any(|text| names(text, known)))
        .filter_map(|(index, known)| {
            let flag = &known.hazard_note.as_ref()?.flag;
            let message = format!("{} ({flag}) has no caution in this method", known.name);
            Some(
                LINT.finding(format!("/developer/components/{index}"), message).hint(
                    "add one to `cautions` with its source, jurisdiction and date; local rules decide",
                ),
            )
        })
        .collect()
}

/// Whether a caution names the substance, by its name or a synonym long enough to be a word.
fn names(caution: &str, known: &Substance) -> bool {
    std::iter::once(&known.name)
        .chain(known.synonyms.iter().filter(|name| name.len() > 4))
        .any(|name| caution.contains(&name.to_lowercase()))
}
