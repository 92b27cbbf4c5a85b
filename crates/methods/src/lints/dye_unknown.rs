//! A dye id that no registered dye has.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::{DyeLookup, Severity};

pub(super) const LINT: Lint = Lint {
    id: "dye-unknown",
    severity: Severity::Stop,
    why: "spots can't be given an identity that nobody knows",
    run,
    fires: &[LintExample::set(
        "a slip of the pen",
        &[("/references/3/dye", r#""tartrazin""#)],
    )],
    silent: &[LintExample::set(
        "another registered dye",
        &[
            ("/references/3/dye", r#""quinoline-yellow""#),
            ("/controls", "[]"),
            ("/critical_pairs", "[]"),
        ],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    context
        .references()
        .filter(|(_, r)| context.dyes.by_id(&r.dye).is_none())
        .map(|(place, r)| {
            let finding = LINT.finding(
                format!("{place}/dye"),
                format!("`{}` is no registered dye", r.dye),
            );
            let ids: Vec<String> = match context.dyes.find(&r.dye) {
                DyeLookup::Found(dye) => vec![dye.id.clone()],
                DyeLookup::Ambiguous(dyes) => dyes.iter().map(|dye| dye.id.clone()).collect(),
                DyeLookup::Unknown { near } => near
                    .iter()
                    .filter_map(|name| match context.dyes.find(name) {
                        DyeLookup::Found(dye) => Some(dye.id.clone()),
                        _ => None,
                    })
                    .collect(),
            };
            if ids.is_empty() {
                return finding.hint("`dyebook dye list` shows the dyes, `dye add` registers one");
            }
            let ids: Vec<String> = ids.iter().map(|id| format!("`{id}`")).collect();
            finding.hint(format!("did you mean {}?", ids.join(" or ")))
        })
        .collect()
}
