//! Whether a version number moves as far as the changes need.

use super::bump::Bump;
use super::declared_bump::{declared_bump, next_version};
use super::diff::{Change, Diff};
use semver::Version;

/// Why a version number can't stand.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum VersionRefused {
    /// A smaller step than the changes need.
    #[error("version {to} is {}, but the changes need {}", step(*declared), step(*required))]
    BumpTooSmall {
        /// The method's id.
        method: String,
        /// The approved version.
        from: String,
        /// The draft's version.
        to: String,
        /// The lowest version that would do.
        next: String,
        /// The step between the two.
        declared: Bump,
        /// The step that is needed.
        required: Bump,
        /// The changes, the weightiest first.
        changes: Vec<Change>,
    },
    /// Not above the version before.
    #[error("version {to} is not above the approved version {from}")]
    NotHigher {
        /// The approved version.
        from: String,
        /// The draft's version.
        to: String,
        /// The lowest version that would do.
        next: String,
    },
}

fn step(bump: Bump) -> &'static str {
    match bump {
        Bump::None => "no step",
        Bump::Patch => "a patch",
        Bump::Minor => "a minor bump",
        Bump::Major => "a major bump",
    }
}

impl VersionRefused {
    /// A name that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::BumpTooSmall { .. } => "method.bump-too-small",
            Self::NotHigher { .. } => "method.version-not-higher",
        }
    }

    /// Lines below the first: the method, then each change with its rule.
    pub fn details(&self) -> Vec<String> {
        match self {
            Self::BumpTooSmall {
                method,
                from,
                to,
                changes,
                ..
            } => {
                let head = format!("method  `{method}`, approved {from}, draft {to}");
                let lines: Vec<String> = changes.iter().map(line).collect();
                std::iter::once(head).chain(lines).collect()
            }
            Self::NotHigher { .. } => Vec::new(),
        }
    }

    /// What to do about it.
    pub fn hints(&self) -> Vec<String> {
        match self {
            Self::BumpTooSmall {
                next,
                required,
                changes,
                ..
            } => {
                let mut places: Vec<&str> = changes
                    .iter()
                    .filter(|change| change.bump == *required)
                    .map(|change| restored(&change.path))
                    .collect();
                places.dedup();
                vec![format!(
                    "set `version` to {next}, or restore {}",
                    places.join(" and ")
                )]
            }
            Self::NotHigher { next, .. } => vec![format!("set `version` to {next}")],
        }
    }
}

/// `major   sodium chloride goes from 20 to 30 g/L           (composition_changed)`
fn line(change: &Change) -> String {
    format!(
        "{:<7} {:<48} ({})",
        change.bump.word(),
        change.message,
        change.rule
    )
}

fn restored(path: &str) -> &str {
    if path.starts_with("/developer/components") {
        "the composition"
    } else {
        path
    }
}

/// Whether the step from one version number to the next is at least the one that the changes
/// need. The step is returned.
///
/// # Errors
/// [`VersionRefused`], which names each change with its rule.
pub fn check_bump(from: &Version, to: &Version, diff: &Diff) -> Result<Bump, VersionRefused> {
    let Some(declared) = declared_bump(from, to) else {
        return Err(VersionRefused::NotHigher {
            from: from.to_string(),
            to: to.to_string(),
            next: next_version(from, diff.required).to_string(),
        });
    };
    if declared < diff.required {
        let method = diff.to.split('@').next().unwrap_or_default();
        return Err(VersionRefused::BumpTooSmall {
            method: method.to_owned(),
            from: from.to_string(),
            to: to.to_string(),
            next: next_version(from, diff.required).to_string(),
            declared,
            required: diff.required,
            changes: diff.changes.clone(),
        });
    }
    Ok(declared)
}
