//! The life of a method: kept as a draft, approved, superseded, withdrawn.

use crate::failure::Failure;
use crate::method_document::{CheckedMethod, check_method};
use crate::resolve_method::resolve_method;
use dyebook_documents::{DyeRegister, MethodState};
use dyebook_library::{KeptMethod, Library, LibraryError, Origin, Stamp};
use dyebook_methods::rules::{Diff, check_bump, diff};
use semver::Version;

/// What `method approve` did.
#[derive(Debug, Clone)]
pub struct Approval {
    /// The version now in use.
    pub method: KeptMethod,
    /// The changes against the version it takes over from.
    pub diff: Option<Diff>,
    /// The version it takes over from.
    pub supersedes: Option<String>,
}

/// Keeps a checked method as a draft. Answers whether anything changed.
///
/// # Errors
/// A version that is no draft any more, and what the library says.
pub fn keep_draft(
    library: &mut Library,
    checked: &CheckedMethod,
    stamp: &Stamp,
) -> Result<bool, Failure> {
    let method = &checked.method;
    if let Some(kept) = library.method(&method.id, &method.version)?
        && kept.state != MethodState::Draft
    {
        if kept.digest == checked.digest {
            return Ok(false);
        }
        return Err(Failure::refused(
            "method.is-approved",
            format!(
                "`{}` is {} and never changes again",
                kept.name(),
                kept.state
            ),
        )
        .hint("set `version` to a higher one and add it as a new draft")
        .hint(format!("dyebook method history {}", kept.id)));
    }
    let change = library.change(stamp.clone())?;
    let new = change.keep_draft(
        &method.id,
        &method.version,
        &checked.document,
        &checked.digest,
        Origin::Here,
        method.change_note.as_deref(),
    )?;
    change.commit()?;
    Ok(new)
}

/// What changed between two kept versions.
///
/// # Errors
/// References that lead nowhere.
pub fn diff_methods(library: &Library, from: &str, to: &str) -> Result<Diff, Failure> {
    let (from, to) = (resolve_method(library, from)?, resolve_method(library, to)?);
    if from.id != to.id {
        return Err(Failure::refused(
            "method.two-methods",
            format!(
                "`{}` and `{}` are two methods, not two versions of one",
                from.id, to.id
            ),
        )
        .hint(format!(
            "dyebook solvent compare {} {}",
            from.name(),
            to.name()
        )));
    }
    Ok(diff(&from.document, &to.document))
}

/// Puts a draft into use: the version before it is superseded.
///
/// # Errors
/// Not a draft, a pre-release, a lint error that came up since, no reason, or a smaller step of the
/// version than the version rules ask for, naming the rules.
pub fn approve_method(
    library: &mut Library,
    dyes: &DyeRegister,
    reference: &str,
    reason: &str,
    stamp: &Stamp,
) -> Result<Approval, Failure> {
    let draft = resolve_method(library, reference)?;
    may_be_approved(&draft, reason)?;
    // The dyes in the library may have changed since the draft was kept.
    check_method(&draft.name(), &draft.document.to_string(), dyes)?;
    let versions = library.methods(Some(&draft.id))?;
    let ever_in_use = || {
        versions
            .iter()
            .rev()
            .filter(|m| m.state != MethodState::Draft)
    };
    // The version it takes over from: two majors may be in use side by side.
    let before = ever_in_use()
        .find(|m| m.version.major == draft.version.major)
        .or_else(|| ever_in_use().next());
    let diff = before.map(|before| diff(&before.document, &draft.document));
    if let (Some(before), Some(diff)) = (before, &diff) {
        bump_is_enough(before, &draft, diff)?;
    }
    let superseded: Vec<KeptMethod> = versions
        .iter()
        .filter(|m| m.state == MethodState::Approved && m.version < draft.version)
        .cloned()
        .collect();
    let change = library.change(stamp.clone())?;
    if change.methods(Some(&draft.id))? != versions {
        return Err(LibraryError::ChangedMeanwhile {
            what: format!("method `{}`", draft.id),
        }
        .into());
    }
    for old in &superseded {
        let why = format!("{} was approved", draft.name());
        change.set_method_state(old, MethodState::Superseded, Some(&why))?;
    }
    change.set_method_state(&draft, MethodState::Approved, Some(reason))?;
    change.commit()?;
    Ok(Approval {
        supersedes: superseded.last().map(KeptMethod::name),
        method: KeptMethod {
            state: MethodState::Approved,
            ..draft
        },
        diff,
    })
}

fn may_be_approved(draft: &KeptMethod, reason: &str) -> Result<(), Failure> {
    if draft.state != MethodState::Draft {
        return Err(Failure::refused(
            "method.not-a-draft",
            format!("`{}` is {} already", draft.name(), draft.state),
        )
        .hint("name the draft by its exact version, e.g. `id@1.1.0`"));
    }
    if !draft.version.pre.is_empty() {
        let release = Version {
            pre: semver::Prerelease::EMPTY,
            ..draft.version.clone()
        };
        return Err(Failure::refused(
            "method.is-a-pre-release",
            format!("`{}` is a pre-release, which stays a draft", draft.name()),
        )
        .hint(format!("set `version` to {release} and add it again")));
    }
    needs_reason("method.no-reason", reason)
}

/// A change that people rely on needs a reason for the history.
pub(crate) fn needs_reason(id: &str, reason: &str) -> Result<(), Failure> {
    if reason.trim().is_empty() {
        return Err(Failure::refused(id, "a reason is needed, and it is empty")
            .hint("--reason \"what was done and why it is good enough\""));
    }
    Ok(())
}

fn bump_is_enough(before: &KeptMethod, draft: &KeptMethod, diff: &Diff) -> Result<(), Failure> {
    check_bump(&before.version, &draft.version, diff)
        .map(drop)
        .map_err(|error| {
            let mut failure = Failure::refused(error.id(), error.to_string());
            failure.details = error.details();
            failure.hints = error.hints();
            failure
        })
}

/// Takes a version out of use. Answers how many sheets and identifications rest on it.
///
/// # Errors
/// A draft, one withdrawn already, no reason.
pub fn withdraw_method(
    library: &mut Library,
    reference: &str,
    reason: &str,
    stamp: &Stamp,
) -> Result<(KeptMethod, (u32, u32)), Failure> {
    let method = resolve_method(library, reference)?;
    needs_reason("method.no-reason", reason)?;
    match method.state {
        MethodState::Approved | MethodState::Superseded => {}
        MethodState::Draft => {
            return Err(Failure::refused(
                "method.is-a-draft",
                format!("`{}` is a draft and was never in use", method.name()),
            ));
        }
        MethodState::Withdrawn => {
            return Err(Failure::refused(
                "method.is-withdrawn",
                format!("`{}` is withdrawn already", method.name()),
            ));
        }
    }
    let used = library.method_used_by(&method.id, &method.version)?;
    let change = library.change(stamp.clone())?;
    change.set_method_state(&method, MethodState::Withdrawn, Some(reason))?;
    change.commit()?;
    Ok((
        KeptMethod {
            state: MethodState::Withdrawn,
            ..method
        },
        used,
    ))
}
