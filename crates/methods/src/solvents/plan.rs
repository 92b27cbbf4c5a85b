//! What a change from one method version to another takes.

use super::compare::{CompareQuestion, compare_solvents};
use super::consequences::{Invalid, invalid, stays};
use super::mixtures::{MixtureVerdict, mixtures};
use super::notice::{HandoutRow, Notice, handout, notice};
use super::one_solvent::OneSolvent;
use super::runs_needed::{RunsNeeded, runs_needed};
use crate::rules::{Bump, Change, Diff};
use dyebook_documents::{DyeRegister, Method};
use jiff::civil::Date;
use serde::Serialize;

/// What is asked of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct SwitchQuestion {
    /// Day on which the new version begins.
    pub from_day: Option<Date>,
    /// Sections that work under it.
    pub sections: Vec<String>,
    /// Unknown mixtures in use, each a list of dye ids.
    pub mixtures: Vec<Vec<String>>,
    /// Batches of the old liquid in store.
    pub batches: Vec<String>,
    /// Half-width of an expected range that is wanted.
    pub wanted_half_width: f64,
    /// Confusion above which two dyes that look alike can't be told.
    pub most_confusion: f64,
}

impl Default for SwitchQuestion {
    /// Ranges of ±0.05 and a confusion of at most 5 % (common practice, no source).
    fn default() -> Self {
        Self {
            from_day: None,
            sections: Vec::new(),
            mixtures: Vec::new(),
            batches: Vec::new(),
            wanted_half_width: 0.05,
            most_confusion: 0.05,
        }
    }
}

/// What a change takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwitchPlan {
    /// The old version.
    pub from: String,
    /// The new version.
    pub to: String,
    /// The step that the changes need.
    pub required: Bump,
    /// Whether Rf values of the two can be compared.
    pub comparable: bool,
    /// Every change.
    pub changes: Vec<Change>,
    /// What becomes invalid, and why.
    pub invalid: Vec<Invalid>,
    /// What stays.
    pub stays: Vec<String>,
    /// What to run, and how often.
    pub runs: RunsNeeded,
    /// Unknown mixtures under both versions.
    pub mixtures: Vec<MixtureVerdict>,
    /// Batches that must not be used any more.
    pub quarantine: Vec<String>,
    /// Who must agree to what.
    pub approvals: Vec<Approval>,
    /// The notice for the sections.
    pub notice: Notice,
    /// The table for the hand-out.
    pub handout: Vec<HandoutRow>,
    /// Everything to do, in its order.
    pub checklist: Vec<ChecklistItem>,
}

/// An approval to get. Roles are filled by each laboratory.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Approval {
    /// Of what.
    pub what: &'static str,
    /// Whose.
    pub role: &'static str,
}

/// Something to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ChecklistItem {
    /// Name that never changes, so that its state can be kept.
    pub id: String,
    /// What.
    pub what: String,
    /// Who, as a role.
    pub who: &'static str,
}

/// What a change from one method version to another takes.
///
/// `diff` is the comparison of their documents.
pub fn plan_switch(
    from: &Method,
    to: &Method,
    diff: &Diff,
    dyes: &DyeRegister,
    question: &SwitchQuestion,
) -> SwitchPlan {
    let invalid = invalid(diff);
    let runs = runs_needed(from, to, diff, question.wanted_half_width);
    let (before, now) = (alone(from, dyes), alone(to, dyes));
    let verdicts = mixtures(
        &question.mixtures,
        before.as_ref(),
        now.as_ref(),
        question.most_confusion,
    );
    let approvals = approvals(diff);
    let old_stock = invalid.iter().any(|i| i.what.starts_with("stock of"));
    SwitchPlan {
        from: from.name(),
        to: to.name(),
        required: diff.required,
        comparable: diff.required < Bump::Major,
        changes: diff.changes.clone(),
        stays: stays(diff, &from.name()),
        notice: notice(
            from,
            to,
            diff,
            &invalid,
            question.from_day,
            &question.sections,
        ),
        handout: handout(to, dyes),
        checklist: checklist(&invalid, &runs, &verdicts, &approvals),
        quarantine: if old_stock {
            question.batches.clone()
        } else {
            Vec::new()
        },
        mixtures: verdicts,
        approvals,
        invalid,
        runs,
    }
}

/// The dyes of one version; `None` where it has fewer than two.
fn alone(method: &Method, dyes: &DyeRegister) -> Option<OneSolvent> {
    let comparison = compare_solvents(&[method], dyes, &CompareQuestion::default()).ok()?;
    comparison.solvents.into_iter().next()
}

/// Who agrees to what in a usual laboratory (common practice, no source).
fn approvals(diff: &Diff) -> Vec<Approval> {
    let seen = |ids: &[&str]| diff.changes.iter().any(|c| ids.contains(&c.rule.as_str()));
    let mut all = Vec::new();
    if diff.required > Bump::None {
        all.push(Approval {
            what: "method version and reference set",
            role: "second chemist",
        });
    }
    if seen(&[
        "composition_changed",
        "composition_rewritten",
        "cautions_changed",
    ]) {
        all.push(Approval {
            what: "components, strengths and cautions",
            role: "safety adviser",
        });
        all.push(Approval {
            what: "waste route",
            role: "waste officer",
        });
    }
    if diff.required >= Bump::Minor {
        all.push(Approval {
            what: "hand-out and mark scheme",
            role: "course lead",
        });
    }
    all
}

fn checklist(
    invalid: &[Invalid],
    runs: &RunsNeeded,
    mixtures: &[MixtureVerdict],
    approvals: &[Approval],
) -> Vec<ChecklistItem> {
    let item = |id: String, what: String, who: &'static str| ChecklistItem { id, what, who };
    let mut all = Vec::new();
    for approval in approvals {
        let id = format!("approve-{}", words(approval.what));
        all.push(item(
            id,
            format!("approval: {}", approval.what),
            approval.role,
        ));
    }
    for dye in &runs.dyes {
        let what = format!("run {}: {}", dye.dye, dye.why);
        all.push(item(format!("run-{}", dye.dye), what, "coordinator"));
    }
    for lost in mixtures.iter().filter(|m| m.told_now != Some(true)) {
        let id = format!("replace-mixture-{}", lost.dyes.join("-"));
        all.push(item(
            id,
            format!("replace the mixture {}", lost.dyes.join(" + ")),
            "coordinator",
        ));
    }
    for lost in invalid {
        let who = match lost.what {
            what if what.starts_with("stock of") || what.starts_with("bottle") => "prep room",
            _ => "coordinator",
        };
        all.push(item(
            format!("renew-{}", words(lost.what)),
            lost.to_do.to_owned(),
            who,
        ));
    }
    if !all.is_empty() {
        all.push(item(
            "tell".to_owned(),
            "give the notice to every section".to_owned(),
            "coordinator",
        ));
    }
    all
}

fn words(text: &str) -> String {
    let lower = text.to_lowercase();
    let parts: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    parts.join("-")
}
