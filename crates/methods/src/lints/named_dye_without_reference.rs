//! A control or critical pair names a dye without a reference.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::Severity;

pub(super) const LINT: Lint = Lint {
    id: "named-dye-without-reference",
    severity: Severity::Stop,
    why: "a control without an expected value controls nothing",
    run,
    fires: &[
        LintExample::set(
            "a control that is no reference",
            &[("/controls/0", r#""green-s""#)],
        ),
        LintExample::set(
            "a pair that is half there",
            &[("/critical_pairs/0", r#"["green-s", "tartrazine"]"#)],
        ),
    ],
    silent: &[LintExample::set(
        "another control",
        &[("/controls/0", r#""azorubine""#)],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let method = context.method;
    let controls = method.controls.iter().flatten().enumerate();
    let controls = controls.map(|(i, dye)| (format!("/controls/{i}"), "the control", dye));
    let pairs = method.critical_pairs.iter().flatten().enumerate();
    let pairs = pairs.flat_map(|(i, pair)| {
        let of = move |(k, dye)| {
            (
                format!("/critical_pairs/{i}/{k}"),
                "the critical pair's",
                dye,
            )
        };
        pair.iter().enumerate().map(of)
    });
    controls
        .chain(pairs)
        .filter(|(_, _, dye)| method.reference(dye).is_none())
        .map(|(place, what, dye)| {
            LINT.finding(
                place,
                format!("{what} {dye} has no reference in this method"),
            )
            .hint("add its reference, or take it out here")
        })
        .collect()
}
