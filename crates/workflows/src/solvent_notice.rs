//! The notice of a change of the developing solvent, with the table for the hand-out.

use crate::invented::is_invented;
use crate::sheet_evidence::utc_day;
use crate::solvent_plan::SolventSwitch;
use crate::solvent_recipe::composition_in_words;
use crate::solvent_words::{PROGRAM, with_dye_names};
use dyebook_documents::DyeRegister;
use dyebook_library::Stamp;
use dyebook_methods::rules::Bump;
use dyebook_methods::solvents::{CompareQuestion, compare_solvents};
use dyebook_report::{HandoutLine, Notice, notice};

/// The notice of one page with the table for the hand-out on the next.
pub fn switch_notice(switch: &SolventSwitch, dyes: &DyeRegister, stamp: &Stamp) -> String {
    let plan = &switch.plan;
    let day = switch
        .question
        .from_day
        .map_or_else(|| "________".to_owned(), |day| day.to_string());
    let sections = &switch.question.sections;
    notice(&Notice {
        date: utc_day(stamp.at).to_string(),
        from: plan.from.clone(),
        to: plan.to.clone(),
        digest: switch.to_digest.to_string(),
        effective: plan.notice.paragraphs.first().cloned().unwrap_or_default(),
        changes: changes(switch, dyes),
        why: switch.to.change_note.clone().unwrap_or_default(),
        comparable: plan.comparable,
        discard: discard(switch),
        sections: sections.iter().map(|s| (s.clone(), day.clone())).collect(),
        table: handout(switch),
        pairs: pairs_alike(switch, dyes),
        demo: is_invented(&switch.to),
        program: PROGRAM.to_owned(),
    })
}

/// More changes than this are not read.
const MOST_CHANGES_TOLD: usize = 6;

/// What a student notices: the liquid as it is now, the changes that ask for the version step, the
/// table and the cautions; everything else is in the version's own history.
fn changes(switch: &SolventSwitch, dyes: &DyeRegister) -> Vec<String> {
    let plan = &switch.plan;
    let seen = |prefix: &str| plan.changes.iter().any(|c| c.rule.starts_with(prefix));
    let mut all = Vec::new();
    if seen("composition_") {
        let liquid = composition_in_words(&switch.to.developer).join("; ");
        all.push(format!("the developing solvent is now {liquid}"));
    }
    let telling = plan
        .changes
        .iter()
        .filter(|change| change.bump == plan.required && change.bump >= Bump::Minor)
        .take(MOST_CHANGES_TOLD);
    // The marks around words of a document are for a terminal.
    all.extend(telling.map(|change| with_dye_names(&change.message, dyes).replace('`', "")));
    if seen("reference_") || seen("dye_") {
        all.push("the expected values: use only the table for the hand-out".to_owned());
    }
    if seen("cautions_") {
        all.push("the cautions: read the ones on the bottle before you start".to_owned());
    }
    all
}

fn discard(switch: &SolventSwitch) -> Vec<String> {
    let plan = &switch.plan;
    let mut all: Vec<String> = plan
        .quarantine
        .iter()
        .map(|batch| format!("what is left of batch {batch}"))
        .collect();
    if plan
        .invalid
        .iter()
        .any(|lost| lost.what.starts_with("stock of"))
    {
        all.push(format!(
            "every other bottle and jar with the developing solvent of {}",
            plan.from
        ));
    }
    if plan
        .invalid
        .iter()
        .any(|lost| lost.what == "hand-out table")
    {
        all.push(format!("hand-outs and sheets that show {}", plan.from));
    }
    all
}

fn handout(switch: &SolventSwitch) -> Vec<HandoutLine> {
    switch
        .plan
        .handout
        .iter()
        .filter_map(|row| {
            let reference = switch.to.reference(&row.dye)?;
            let status = (row.status != "measured").then(|| row.status.to_owned());
            let note: Vec<String> = status.into_iter().chain(row.behaviour.clone()).collect();
            Some(HandoutLine {
                dye: row.name.clone(),
                expected: reference.expected_rf,
                colours: row.colours.join(", "),
                note: note.join("; "),
            })
        })
        .collect()
}

/// Dyes that look alike and are confused too often under the new version.
fn pairs_alike(switch: &SolventSwitch, dyes: &DyeRegister) -> Vec<String> {
    // A version of one dye has no pairs, and the notice then says nothing of them.
    let Ok(alone) = compare_solvents(&[&switch.to], dyes, &CompareQuestion::default()) else {
        return Vec::new();
    };
    alone
        .solvents
        .iter()
        .flat_map(|solvent| &solvent.pairs)
        .filter(|pair| pair.like_coloured && pair.confusion > switch.question.most_confusion)
        .map(|pair| with_dye_names(&pair.sentence, dyes))
        .collect()
}
