//! What the conformance kit needs beyond a handle: a worker around a plug-in that may not be
//! approved yet, in which it makes, calls and ends instances as it likes.

use std::path::Path;
use std::time::Duration;

use dyebook_plugin::importer::{Confidence, Imported};
use dyebook_plugin::strategy::{LaneAnswer, MatchRequest, MatchResponse, ReferenceSet};
use dyebook_schemas::catalogue::{
    IMPORTER_1_IMPORT_RESPONSE, IMPORTER_1_PROBE_RESPONSE, STRATEGY_1_MATCH_RESPONSE,
};
use serde_json::Map;

use crate::bundled::{Bundled, Origin};
use crate::channel::Channel;
use crate::failure::Failure;
use crate::folder::{Folder, library_file, library_for_here};
use crate::importer::bounds as importer_bounds;
use crate::launcher::Launcher;
use crate::limits::Limits;
use crate::manifest::Manifest;
use crate::process::{Process, read_sent};
use crate::response;
use crate::settings::Settings;
use crate::strategy::bounds as strategy_bounds;
use crate::strategy::meaning::{self, DyeNames};

pub use crate::worker::{Exercise, Message, Report, Step, StepReport, Surroundings};

/// A plug-in under test.
#[derive(Debug)]
pub struct Subject {
    launcher: Launcher,
}

impl Subject {
    /// The plug-in in a folder, approved or not. What runs is what the manifest's digest says.
    ///
    /// # Errors
    /// When the manifest or the library can't be used.
    pub fn open(folder: &Path, settings: &Settings) -> Result<Self, Failure> {
        let folder = folder.canonicalize().unwrap_or_else(|_| folder.to_owned());
        let read = Folder::read(&folder);
        let manifest = read.manifest?;
        manifest.compatible()?;
        let library = library_file(&folder, library_for_here(&manifest)?)?;
        Self::new(manifest, Origin::External(library), settings)
    }

    /// A bundled plug-in, in a worker.
    ///
    /// # Errors
    /// When there is none of that id.
    pub fn bundled(id: &str, bundled: Bundled, settings: &Settings) -> Result<Self, Failure> {
        let found = crate::bundled::read(bundled)
            .into_iter()
            .find_map(|(descriptor, manifest)| {
                Some((
                    descriptor,
                    manifest.ok().filter(|manifest| manifest.id == id)?,
                ))
            });
        let (descriptor, manifest) = found.ok_or_else(|| Failure::NotFound {
            text: format!("there is no bundled plug-in `{id}`"),
        })?;
        Self::new(manifest, Origin::Bundled { descriptor }, settings)
    }

    fn new(manifest: Manifest, origin: Origin, settings: &Settings) -> Result<Self, Failure> {
        let component =
            manifest
                .components
                .first()
                .cloned()
                .ok_or_else(|| Failure::InvalidManifest {
                    problems: vec!["/components is empty".into()],
                })?;
        let limits = manifest.limits.at_most(settings.ceiling);
        let isolation = manifest.isolation;
        let launcher = Launcher {
            manifest,
            component,
            origin,
            config: Map::new(),
            limits,
            isolation,
            isolate_bundled: true,
            sandbox_required: settings.sandbox_required,
            program: settings.worker.clone(),
            runs: None,
        };
        Ok(Self { launcher })
    }

    /// The manifest.
    pub fn manifest(&self) -> &Manifest {
        &self.launcher.manifest
    }

    /// The limits it runs under.
    pub fn limits(&self) -> Limits {
        self.launcher.limits
    }

    /// The same plug-in with less memory.
    #[must_use]
    pub fn with_memory(&self, memory_mb: u64) -> Self {
        let mut launcher = self.launcher.clone();
        launcher.limits.memory_mb = memory_mb;
        Self { launcher }
    }

    /// Starts a worker without an instance.
    ///
    /// # Errors
    /// When the plug-in can't be loaded.
    pub fn start(&self) -> Result<Worker, Failure> {
        self.launcher
            .worker(None, String::new())
            .map(|process| Worker { process })
    }
}

/// A worker around the plug-in under test.
#[derive(Debug)]
pub struct Worker {
    process: Process,
}

impl Worker {
    /// Has steps carried out. `blob` goes with the calls that ask for it.
    ///
    /// # Errors
    /// When the worker crashes, hangs or breaks the conversation.
    pub fn exercise(
        &mut self,
        exercise: &Exercise,
        blob: &[u8],
        budget: Duration,
    ) -> Result<Report, Failure> {
        self.process.exercise(exercise, blob, budget)
    }

    /// What the library says about itself.
    pub fn describe(&self) -> &str {
        self.process.describe()
    }

    /// Did the entry function return the same pointer twice?
    pub fn same_entry(&self) -> bool {
        self.process.greeting().same_entry
    }

    /// How the plug-in is kept apart, and whether all of it is in force.
    pub fn sandbox(&self) -> (String, bool) {
        (self.process.sandbox(), self.process.greeting().confined)
    }

    /// Memory of the worker now, in KiB.
    pub fn resident_kib(&self) -> u64 {
        self.process.resident_kib()
    }

    /// Threads of the worker now.
    pub fn threads(&self) -> usize {
        self.process.threads()
    }

    /// Bytes that the plug-in logged or printed so far.
    pub fn logged(&self) -> u64 {
        self.process.logged()
    }

    /// The end of them.
    pub fn log_tail(&self) -> String {
        self.process.log_tail()
    }
}

/// Looks at an answer to MATCH as the host does: form, then meaning.
///
/// # Errors
/// What is wrong with it.
pub fn judge_match(
    out: &str,
    asked: &MatchRequest,
    set: &ReferenceSet,
) -> Result<Vec<LaneAnswer>, Failure> {
    let response: MatchResponse = response::read(out.as_bytes(), &STRATEGY_1_MATCH_RESPONSE)?;
    meaning::answers(response, &asked.lanes, &dyes_of(set))
}

fn dyes_of(set: &ReferenceSet) -> DyeNames {
    let dyes = set.references.iter();
    dyes.map(|reference| reference.dye.clone()).collect()
}

/// Looks at an answer to MATCH in the binary form as the host does.
///
/// # Errors
/// What is wrong with it.
pub fn judge_binary_match(
    out: &[u8],
    asked: &MatchRequest,
    set: &ReferenceSet,
) -> Result<Vec<LaneAnswer>, Failure> {
    meaning::answers(strategy_bounds::read(out)?, &asked.lanes, &dyes_of(set))
}

/// Looks at an answer to IMPORT in the binary form as the host does.
///
/// # Errors
/// What is wrong with it.
pub fn judge_binary_import(out: &[u8]) -> Result<Imported, Failure> {
    importer_bounds::read(out)
}

/// Reads what a worker sent as its answer to the first call, as the host does.
///
/// # Errors
/// What is wrong with it.
pub fn judge_frame(sent: &[u8]) -> Result<Vec<u8>, Failure> {
    read_sent(sent)
}

/// Looks at an answer to PROBE as the host does.
///
/// # Errors
/// What is wrong with it.
pub fn judge_probe(out: &str) -> Result<Confidence, Failure> {
    response::read(out.as_bytes(), &IMPORTER_1_PROBE_RESPONSE)
}

/// Looks at an answer to IMPORT as the host does.
///
/// # Errors
/// What is wrong with it.
pub fn judge_import(out: &str) -> Result<Imported, Failure> {
    response::read(out.as_bytes(), &IMPORTER_1_IMPORT_RESPONSE)
}
