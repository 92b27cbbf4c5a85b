//! Like-coloured dyes whose ranges overlap and that are no critical pair.

use super::{Context, Finding, Lint, LintExample};
use crate::solvents::like_coloured;
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "overlap-not-listed",
    severity: Severity::Warn,
    why: "such a pair can't be told apart by Rf or colour: it belongs among the critical pairs",
    run,
    fires: &[LintExample::set(
        "two reds overlap",
        &[("/references/1/expected_rf/high", "0.38")],
    )],
    silent: &[
        LintExample::set(
            "listed as a pair",
            &[
                ("/references/1/expected_rf/high", "0.38"),
                ("/critical_pairs/0", r#"["allura-red-ac", "azorubine"]"#),
            ],
        ),
        LintExample::set(
            "a blue in the reds",
            &[
                ("/references/1/expected_rf/high", "0.38"),
                ("/references/1/colours", r#"["blue"]"#),
            ],
        ),
    ],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let references: Vec<_> = context.references().collect();
    let mut findings = Vec::new();
    for (index, (place, one)) in references.iter().enumerate() {
        for (_, other) in references.iter().skip(index + 1) {
            let alike = like_coloured(&context.colours(one), &context.colours(other));
            let listed = context.method.is_critical_pair(&one.dye, &other.dye);
            if one.dye != other.dye
                && alike
                && !listed
                && one.expected_rf.overlaps(&other.expected_rf)
            {
                let message = format!(
                    "the expected ranges of {} and {} overlap and their colours agree: a spot there can be either",
                    one.dye, other.dye
                );
                findings.push(
                    LINT.finding(format!("{place}/expected_rf"), message)
                        .hint(format!(
                            "add [\"{}\", \"{}\"] to `critical_pairs`",
                            one.dye, other.dye
                        )),
                );
            }
        }
    }
    findings
}
