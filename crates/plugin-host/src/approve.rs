//! Approving a plug-in: by the digest that a person states, after a look that found nothing bad.

use std::path::Path;

use serde::Serialize;

use crate::approvals::{Approval, ApprovalError, ApprovalFiles};
use crate::inspect::{Grade, Inspection, inspect};
use crate::limits::Limits;
use crate::target::TARGET;

/// What was approved.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Approved {
    /// The approval as it was written.
    pub approval: Approval,
    /// The one it replaces.
    pub earlier: Option<Approval>,
    /// What the look found.
    pub inspection: Inspection,
}

/// What was revoked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Revoked {
    /// The id.
    pub id: String,
    /// How many approvals there were.
    pub removed: usize,
}

/// Who approves, and when.
#[derive(Clone, Debug)]
pub struct Approver {
    /// Name.
    pub by: String,
    /// The time, RFC 3339 in UTC.
    pub at: String,
    /// Why, or after which look.
    pub note: Option<String>,
}

/// Why a plug-in was not approved.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ApproveError {
    /// The look found something bad.
    #[error("plug-in `{id}` can't be approved: {}", reasons.join("; "))]
    Refused {
        /// The plug-in.
        id: String,
        /// What was found.
        reasons: Vec<String>,
    },
    /// The digest stated is not that of the library.
    #[error("the library of `{id}` has the SHA-256 {found}, not {stated}")]
    OtherDigest {
        /// The plug-in.
        id: String,
        /// As stated.
        stated: String,
        /// As it is.
        found: String,
    },
    /// The approvals can't be read or written.
    #[error(transparent)]
    Approvals(#[from] ApprovalError),
}

impl ApproveError {
    /// The stable code.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Refused { .. } => "plugin.not-approvable",
            Self::OtherDigest { .. } => "plugin.other-digest",
            Self::Approvals(error) => error.id(),
        }
    }

    /// What to do.
    pub fn hints(&self) -> Vec<String> {
        match self {
            Self::Refused { .. } => vec!["`dyebook plugin inspect` on its folder shows all".into()],
            Self::OtherDigest { .. } => {
                vec!["compare with the digest that its author published; they must be equal".into()]
            }
            Self::Approvals(error) => error.hints(),
        }
    }
}

/// Approves the plug-in in a folder when its library has the digest that was stated.
///
/// # Errors
/// When the look finds something bad, the digest is another one, or the approvals can't be written.
pub fn approve(
    folder: &Path,
    sha256: &str,
    approver: &Approver,
    files: &ApprovalFiles,
) -> Result<Approved, ApproveError> {
    let inspection = inspect(folder);
    let id = inspection.id.clone();
    let parts = (
        inspection.manifest.clone(),
        inspection.library_sha256.clone(),
    );
    let (true, (Some(manifest), Some(found))) = (inspection.may_be_approved(), parts) else {
        let bad = inspection
            .findings
            .into_iter()
            .filter(|finding| finding.grade == Grade::Refuse);
        return Err(ApproveError::Refused {
            id,
            reasons: bad.map(|finding| finding.text).collect(),
        });
    };
    let stated = sha256.trim().to_lowercase();
    if stated != found {
        return Err(ApproveError::OtherDigest { id, stated, found });
    }
    let library = manifest
        .libraries
        .iter()
        .find(|library| Some(library.target.as_str()) == TARGET);
    let approval = Approval {
        id: manifest.id.clone(),
        version: manifest.version.clone(),
        target: TARGET.unwrap_or_default().into(),
        library_sha256: found,
        library_size: library.map_or(0, |library| library.size),
        manifest_sha256: manifest.sha256.clone(),
        approved_at: approver.at.clone(),
        approved_by: approver.by.clone(),
        note: approver.note.clone(),
        limits: manifest.limits.at_most(Limits::CEILING),
        bad_runs: 0,
    };
    let earlier = files
        .read()?
        .into_iter()
        .find(|earlier| earlier.id == approval.id);
    files.put(approval.clone())?;
    Ok(Approved {
        approval,
        earlier,
        inspection,
    })
}

/// Takes back the approval of an id.
///
/// # Errors
/// When the approvals can't be read or written.
pub fn revoke(id: &str, files: &ApprovalFiles) -> Result<Revoked, ApprovalError> {
    Ok(Revoked {
        id: id.into(),
        removed: files.remove(id)?,
    })
}
