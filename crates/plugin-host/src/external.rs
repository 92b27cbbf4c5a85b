//! What may be done with the plug-ins that were found, by what a person approved.

use crate::approvals::Approval;
use crate::bundled::External;
use crate::failure::Failure;
use crate::folder::{Folder, library_file, library_for_here, library_sha256};
use crate::manifest::Manifest;
use crate::plugins::State;

/// A plug-in that was found, judged.
#[derive(Clone, Debug)]
pub(crate) struct Judged {
    pub(crate) id: String,
    pub(crate) folder: Folder,
    pub(crate) state: State,
    /// Why it can't be used, where it can't.
    pub(crate) failure: Option<Failure>,
    pub(crate) library: Option<External>,
    pub(crate) approval: Option<Approval>,
}

/// Judges all folders that hold one id. Two folders block each other, unless exactly one of them
/// holds what was approved.
pub(crate) fn judge(id: &str, folders: Vec<Folder>, approvals: &[Approval]) -> Vec<Judged> {
    let mut judged: Vec<Judged> = folders
        .into_iter()
        .map(|folder| judge_one(id, folder, approvals))
        .collect();
    if judged.len() > 1 {
        let approved = judged
            .iter()
            .filter(|one| one.state == State::Approved)
            .count();
        let paths: Vec<String> = judged
            .iter()
            .map(|one| one.folder.path.display().to_string())
            .collect();
        for one in &mut judged {
            if approved == 1 && one.state == State::Approved {
                continue;
            }
            one.state = State::Blocked;
            one.failure = Some(Failure::Blocked {
                paths: paths.clone(),
            });
        }
    }
    judged
}

fn judge_one(id: &str, folder: Folder, approvals: &[Approval]) -> Judged {
    let looked = match &folder.manifest {
        Ok(manifest) => look(manifest, &folder, approvals),
        Err(failure) => Err(failure.clone()),
    };
    let (library, approval, failure) = match looked {
        Ok((library, approval)) => (Some(library), Some(approval), None),
        Err(failure) => (None, None, Some(failure)),
    };
    let state = failure.as_ref().map_or(State::Approved, state_of);
    Judged {
        id: id.into(),
        folder,
        state,
        failure,
        library,
        approval,
    }
}

fn look(
    manifest: &Manifest,
    folder: &Folder,
    approvals: &[Approval],
) -> Result<(External, Approval), Failure> {
    manifest.compatible()?;
    let library = library_for_here(manifest)?;
    let file = library_file(&folder.path, library)?;
    let mut of_id = approvals
        .iter()
        .filter(|approval| approval.id == manifest.id)
        .peekable();
    let Some(latest) = of_id.peek().copied() else {
        return Err(Failure::Unapproved {
            sha256: library.sha256.clone(),
        });
    };
    let same = |approval: &&Approval| {
        approval.library_sha256 == library.sha256 && approval.manifest_sha256 == manifest.sha256
    };
    let Some(approval) = of_id.find(same) else {
        let (part, approved, found) = if latest.library_sha256 == library.sha256 {
            ("manifest", &latest.manifest_sha256, &manifest.sha256)
        } else {
            ("library", &latest.library_sha256, &library.sha256)
        };
        let (approved, found) = (approved.clone(), found.clone());
        return Err(Failure::Changed {
            part: part.into(),
            approved,
            found,
        });
    };
    if approval.quarantined() {
        let text = format!("it was switched off in {} runs in a row", approval.bad_runs);
        return Err(Failure::Quarantined { text });
    }
    Ok((file, approval.clone()))
}

/// For a list, the library's bytes are looked at too; for a run, the worker does so.
pub(crate) fn look_at_bytes(judged: &mut Judged) {
    let Some(library) = judged
        .library
        .as_ref()
        .filter(|_| judged.state == State::Approved)
    else {
        return;
    };
    let failure = match library_sha256(&library.path) {
        Ok(found) if found == library.sha256 => return,
        Ok(found) => Failure::Changed {
            part: "library".into(),
            approved: library.sha256.clone(),
            found,
        },
        Err(failure) => failure,
    };
    judged.state = state_of(&failure);
    judged.failure = Some(failure);
}

fn state_of(failure: &Failure) -> State {
    match failure {
        Failure::Unapproved { .. } => State::Unapproved,
        Failure::Changed { .. } => State::Changed,
        Failure::Incompatible { .. } => State::Incompatible,
        Failure::Quarantined { .. } => State::Quarantined,
        Failure::Blocked { .. } => State::Blocked,
        _ => State::Invalid,
    }
}
