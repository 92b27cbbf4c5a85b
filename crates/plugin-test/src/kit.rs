//! Runs all cases over all components of a plug-in.

use std::path::Path;
use std::time::{Duration, Instant};

use dyebook_plugin_host::kit::Subject;
use dyebook_plugin_host::{Failure, Inspection, Kind, Settings, inspect};

use crate::bench::Bench;
use crate::cases::{ALL, For};
use crate::report::{CaseReport, Grade, KitReport, Verdict};

/// How to run the kit.
#[derive(Clone, Debug)]
pub struct Options {
    /// What all chance comes from.
    pub seed: u64,
    /// Only the case of this name.
    pub only: Option<String>,
    /// How long to try broken input.
    pub fuzz: Duration,
    /// Run a plug-in that nobody approved: on this machine, in the kit's workers, this once.
    pub allow_unapproved: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            seed: 1,
            only: None,
            fuzz: Duration::from_secs(1),
            allow_unapproved: false,
        }
    }
}

/// Why the kit was not run.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum KitError {
    /// The plug-in can't be used at all.
    #[error("the plug-in in `{folder}` can't be tried: {failure}")]
    Unusable {
        /// Its folder.
        folder: String,
        /// Why.
        failure: Failure,
    },
    /// Nobody approved it, and the caller did not say that it may run all the same.
    #[error("plug-in `{id}` is not approved, so the kit does not run it")]
    Unapproved {
        /// Its id.
        id: String,
        /// Digest of its library.
        sha256: String,
    },
    /// There is no such case.
    #[error("there is no case `{name}`")]
    NoSuchCase {
        /// As given.
        name: String,
    },
}

impl KitError {
    /// The stable code.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Unusable { failure, .. } => failure.code(),
            Self::Unapproved { .. } => "plugin.unapproved",
            Self::NoSuchCase { .. } => "plugin.no-such-case",
        }
    }

    /// What to do.
    pub fn hints(&self) -> Vec<String> {
        match self {
            Self::Unusable { .. } => {
                vec!["`dyebook plugin inspect` on its folder shows all".into()]
            }
            Self::Unapproved { sha256, .. } => vec![format!(
                "its library has the SHA-256 {sha256}; if that is what you built, \
                 `--allow-unapproved-here` runs it in the kit's sandbox"
            )],
            Self::NoSuchCase { .. } => {
                let names: Vec<&str> = ALL.iter().map(|case| case.name).collect();
                vec![format!("cases are `{}`", names.join("`, `"))]
            }
        }
    }
}

/// Tries the plug-in in a folder.
///
/// # Errors
/// When it can't be tried at all; what the cases find stands in the report.
pub fn run(folder: &Path, options: &Options, settings: &Settings) -> Result<KitReport, KitError> {
    if let Some(name) = &options.only
        && !ALL.iter().any(|case| case.name == name)
    {
        return Err(KitError::NoSuchCase { name: name.clone() });
    }
    let unusable = |failure| KitError::Unusable {
        folder: folder.display().to_string(),
        failure,
    };
    let subject = Subject::open(folder, settings).map_err(unusable)?;
    let inspection = inspect(folder);
    let sha256 = inspection.library_sha256.clone().unwrap_or_default();
    if !options.allow_unapproved && !is_approved(&subject, &sha256, settings) {
        return Err(KitError::Unapproved {
            id: subject.manifest().id.clone(),
            sha256,
        });
    }
    Ok(try_all(&subject, folder, &inspection, options))
}

fn is_approved(subject: &Subject, sha256: &str, settings: &Settings) -> bool {
    let manifest = &subject.manifest().sha256;
    settings.approvals.read().is_ok_and(|approvals| {
        approvals.iter().any(|approval| {
            approval.library_sha256 == sha256 && approval.manifest_sha256 == *manifest
        })
    })
}

fn try_all(
    subject: &Subject,
    folder: &Path,
    inspection: &Inspection,
    options: &Options,
) -> KitReport {
    let manifest = subject.manifest();
    let mut cases = Vec::new();
    for component in &manifest.components {
        let bench = Bench {
            subject,
            component,
            folder,
            inspection,
            options,
        };
        for case in ALL {
            let wanted = options.only.as_ref().is_none_or(|only| only == case.name);
            let concerned = match case.concerns {
                For::Both => true,
                For::Strategies => component.kind == Kind::Strategy,
                For::Importers => component.kind == Kind::Importer,
            };
            if !wanted || !concerned {
                continue;
            }
            let begun = Instant::now();
            let Verdict { grade, text } = (case.run)(&bench).unwrap_or_else(|verdict| verdict);
            cases.push(CaseReport {
                part: case.part,
                component: component.name.clone(),
                case: case.name,
                grade,
                text,
                ms: u64::try_from(begun.elapsed().as_millis()).unwrap_or(u64::MAX),
            });
        }
    }
    let sandbox = subject.start().map(|worker| worker.sandbox().0);
    KitReport {
        kit: env!("CARGO_PKG_VERSION").into(),
        plugin: manifest.id.clone(),
        version: manifest.version.clone(),
        library_sha256: inspection.library_sha256.clone(),
        manifest_sha256: manifest.sha256.clone(),
        seed: options.seed,
        sandbox: sandbox.unwrap_or_default(),
        passed: cases.iter().all(|case| case.grade < Grade::Fail),
        cases,
    }
}
