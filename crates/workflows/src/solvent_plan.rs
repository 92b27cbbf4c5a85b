//! What a change of the developing solvent takes, with a checklist whose states are kept.

use crate::dyes::find_dye;
use crate::failure::Failure;
use crate::methods::needs_reason;
use crate::resolve_method::resolve_method;
use dyebook_documents::{Digest, DyeRegister, Method, MethodState};
use dyebook_library::{ChecklistItem, KeptMethod, Library, Stamp};
use dyebook_methods::rules::diff;
use dyebook_methods::solvents::{SwitchPlan, SwitchQuestion, plan_switch};
use serde::Serialize;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// A planned change between two kept versions.
#[derive(Debug, Clone)]
pub struct SolventSwitch {
    /// The plan.
    pub plan: SwitchPlan,
    /// State of the new version.
    pub to_state: MethodState,
    /// Digest of the new version.
    pub to_digest: Digest,
    /// The new version.
    pub to: Method,
    /// What was asked, with the mixtures and batches that the library knows.
    pub question: SwitchQuestion,
    /// Name of the checklist in the library.
    pub checklist: String,
    /// The items with their states.
    pub items: Vec<SwitchItem>,
}

/// An item of the checklist with its state.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SwitchItem {
    /// Name that never changes.
    pub id: String,
    /// What.
    pub what: String,
    /// Who, as a role.
    pub who: String,
    /// `open`, `done` or `dropped`.
    pub state: String,
    /// What was written beside it.
    pub note: Option<String>,
}

impl SolventSwitch {
    /// The answer as JSON.
    pub fn answer(&self) -> Value {
        let mut answer = json!(self.plan);
        if let Value::Object(members) = &mut answer {
            members.insert("checklist_name".to_owned(), json!(self.checklist));
            members.insert("checklist".to_owned(), json!(self.items));
            members.insert("to_state".to_owned(), json!(self.to_state));
            members.insert("to_digest".to_owned(), json!(self.to_digest));
        }
        answer
    }

    /// Items that are still open.
    pub fn open_items(&self) -> usize {
        self.items
            .iter()
            .filter(|item| item.state == "open")
            .count()
    }
}

/// Plans the change from one kept version to another. Nothing is written.
///
/// Without a day, the new version begins on the day that its document names. Mixtures that are not named are those recorded for sheets of the old version and of the
/// versions comparable with it; batches likewise.
///
/// # Errors
/// References that lead nowhere, one version named twice.
pub fn plan_solvent_switch(
    library: &Library,
    dyes: &DyeRegister,
    old: &str,
    new: &str,
    mut question: SwitchQuestion,
) -> Result<SolventSwitch, Failure> {
    let (from, to) = (resolve_method(library, old)?, resolve_method(library, new)?);
    if from.name() == to.name() {
        return Err(Failure::refused(
            "solvent.named-twice",
            format!("`{}` is both the old and the new version", from.name()),
        ));
    }
    let (mixtures, batches) = in_use(library, &from)?;
    if question.mixtures.is_empty() {
        question.mixtures = mixtures;
    }
    if question.batches.is_empty() {
        question.batches = batches;
    }
    let method = to.method()?;
    question.from_day = question.from_day.or(method.effective_from);
    let changes = diff(&from.document, &to.document);
    let plan = plan_switch(&from.method()?, &method, &changes, dyes, &question);
    let checklist = format!("change from {} to {}", plan.from, plan.to);
    let kept = library.checklist(&checklist)?;
    let items = with_states(&plan, &kept);
    Ok(SolventSwitch {
        plan,
        to_state: to.state,
        to_digest: to.digest,
        to: method,
        question,
        checklist,
        items,
    })
}

/// A mixture as a person types it: names of dyes joined by `+`.
///
/// # Errors
/// Unknown or ambiguous names.
pub fn mixture_of(text: &str, dyes: &DyeRegister) -> Result<Vec<String>, Failure> {
    let mut mixture = text
        .split('+')
        .map(|name| find_dye(dyes, name.trim()).map(|dye| dye.id.clone()))
        .collect::<Result<Vec<_>, _>>()?;
    mixture.sort();
    mixture.dedup();
    Ok(mixture)
}

/// What one sheet after the other says of mixtures and batches under the old liquid.
fn in_use(
    library: &Library,
    from: &KeptMethod,
) -> Result<(Vec<Vec<String>>, Vec<String>), Failure> {
    let (mut mixtures, mut batches) = (BTreeSet::new(), BTreeSet::new());
    for version in library.methods(Some(&from.id))? {
        if version.version.major != from.version.major {
            continue;
        }
        for id in library.sheets_of_method(&version.id, &version.version)? {
            for lane in library.truth(Some(&id))? {
                let mut mixture = lane.dyes;
                mixture.sort();
                mixtures.insert(mixture);
            }
            let sheet = library.sheet(&id, None)?;
            batches.extend(sheet.and_then(|kept| kept.sheet.batch));
        }
    }
    mixtures.retain(|mixture| !mixture.is_empty());
    Ok((
        mixtures.into_iter().collect(),
        batches.into_iter().collect(),
    ))
}

/// The plan's items with the states kept; what was ticked and is no longer asked for comes last.
fn with_states(plan: &SwitchPlan, kept: &[ChecklistItem]) -> Vec<SwitchItem> {
    let of = |id: &str| kept.iter().find(|item| item.item == id);
    let mut items: Vec<SwitchItem> = plan
        .checklist
        .iter()
        .map(|item| SwitchItem {
            id: item.id.clone(),
            what: item.what.clone(),
            who: item.who.to_owned(),
            state: of(&item.id).map_or_else(|| "open".to_owned(), |kept| kept.state.clone()),
            note: of(&item.id).and_then(|kept| kept.note.clone()),
        })
        .collect();
    let no_longer: Vec<SwitchItem> = kept
        .iter()
        .filter(|kept| items.iter().all(|item| item.id != kept.item))
        .map(|kept| SwitchItem {
            id: kept.item.clone(),
            what: "no longer asked for by the plan".to_owned(),
            who: String::new(),
            state: kept.state.clone(),
            note: kept.note.clone(),
        })
        .collect();
    items.extend(no_longer);
    items
}

/// Sets the state of an item of a planned change, and keeps it with a note.
///
/// # Errors
/// An item that the plan doesn't have, no note, and what the library says.
pub fn set_switch_item(
    library: &mut Library,
    switch: &mut SolventSwitch,
    item: &str,
    state: &str,
    note: &str,
    stamp: &Stamp,
) -> Result<(), Failure> {
    needs_reason("plan.no-note", note)?;
    let id = find_item(switch, item)?;
    let change = library.change(stamp.clone())?;
    change.keep_checklist_item(&ChecklistItem {
        checklist: switch.checklist.clone(),
        item: id,
        state: state.to_owned(),
        note: Some(note.to_owned()),
    })?;
    change.commit()?;
    switch.items = with_states(&switch.plan, &library.checklist(&switch.checklist)?);
    Ok(())
}

/// The item of that name or with a name that begins so.
fn find_item(switch: &SolventSwitch, wanted: &str) -> Result<String, Failure> {
    if let Some(exact) = switch.items.iter().find(|item| item.id == wanted) {
        return Ok(exact.id.clone());
    }
    let beginning = || {
        switch
            .items
            .iter()
            .filter(|item| item.id.starts_with(wanted))
    };
    let mut found = beginning();
    match (found.next(), found.next()) {
        (Some(one), None) if !wanted.is_empty() => Ok(one.id.clone()),
        (None, _) => Err(Failure::refused(
            "plan.no-such-item",
            format!("the plan has no item `{wanted}`"),
        )
        .details(switch.items.iter().map(|item| item.id.clone()))),
        _ => Err(Failure::refused(
            "plan.ambiguous-item",
            format!("several items of the plan begin with `{wanted}`"),
        )
        .details(beginning().map(|item| item.id.clone()))),
    }
}
