//! All plug-ins that there are, and the way to one of them.

use serde::Serialize;
use serde_json::{Map, Value};
use std::borrow::Cow;
use std::sync::OnceLock;

use crate::bundled::{Bundled, Origin, Read, bundled_digest, read};
use crate::discovery::discover;
use crate::external::{Judged, judge, look_at_bytes};
use crate::failure::{Failure, PluginError};
use crate::importer::ImporterHandle;
use crate::launcher::{Launcher, Runs};
use crate::manifest::{Component, Isolation, Kind, Manifest};
use crate::parameters::parameters;
use crate::provenance::Provenance;
use crate::settings::{Isolate, Settings};
use crate::strategy::StrategyHandle;
use crate::target::TARGET;

/// Below this no importer is sure enough to be given a file unasked.
const SURE_ENOUGH: f64 = 0.5;

/// All plug-ins that there are.
#[derive(Debug)]
pub struct Plugins {
    bundled: Vec<Read>,
    settings: Settings,
    /// Made ready once: many files may have to be asked about.
    bundled_importers: OnceLock<Vec<ImporterHandle>>,
}

/// One plug-in in a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PluginInfo {
    /// Its id; the folder's name where the manifest can't be read.
    pub id: String,
    /// What may be done with it.
    pub state: State,
    /// What it is.
    pub manifest: Option<Manifest>,
    /// Its folder, where it has one.
    pub folder: Option<String>,
    /// SHA-256 of its library; for a bundled one, of its manifest and version.
    pub digest: Option<String>,
    /// Why it can't be used, where it can't.
    pub why: Option<String>,
}

/// A component that may be used.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComponentInfo {
    /// How it is called on a command line.
    pub id: String,
    /// Where it comes from; parameters are the defaults.
    pub provenance: Provenance,
    /// What it is, in a line.
    pub description: String,
    /// What it decides by.
    pub evidence: Vec<String>,
    /// Its parameters.
    pub config_schema: Value,
}

/// What may be done with a plug-in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum State {
    /// Part of dyebook itself.
    Bundled,
    /// Approved as it is.
    Approved,
    /// Not approved.
    Unapproved,
    /// Approved once, but not as it is now.
    Changed,
    /// Of another ABI, contract or machine.
    Incompatible,
    /// Its id is found more than once.
    Blocked,
    /// Its manifest or library can't be used.
    Invalid,
    /// It failed in too many runs.
    Quarantined,
}

impl Plugins {
    /// The plug-ins linked in and those that the settings lead to. Looks at no file yet.
    pub fn new(bundled: Bundled, settings: Settings) -> Self {
        Self {
            bundled: read(bundled),
            settings,
            bundled_importers: OnceLock::new(),
        }
    }

    /// All of them, bundled ones first, each group by id.
    pub fn list(&self) -> Vec<PluginInfo> {
        let mut list: Vec<PluginInfo> = self.bundled.iter().map(bundled_info).collect();
        list.sort_by(|a, b| a.id.cmp(&b.id));
        let (found, unreadable) = self.external();
        list.extend(found.into_iter().map(|mut judged| {
            look_at_bytes(&mut judged);
            external_info(judged, unreadable.as_deref())
        }));
        list
    }

    /// The external plug-ins, judged; and why the approvals could not be read, if so: then none is
    /// approved.
    fn external(&self) -> (Vec<Judged>, Option<String>) {
        let (approvals, unreadable) = match self.settings.approvals.read() {
            Ok(approvals) => (approvals, None),
            Err(error) => (Vec::new(), Some(error.to_string())),
        };
        let found = discover(&self.settings.search).into_iter();
        (
            found
                .flat_map(|(id, folders)| judge(&id, folders, &approvals))
                .collect(),
            unreadable,
        )
    }

    /// A strategy by its short name, or by `plug-in id/name`.
    ///
    /// # Errors
    /// When there is none that may be used.
    pub fn strategy(&self, name: &str) -> Result<StrategyHandle, PluginError> {
        self.find(Kind::Strategy, name).map(StrategyHandle::new)
    }

    /// An importer by its short name, or by `plug-in id/name`.
    ///
    /// # Errors
    /// When there is none that may be used.
    pub fn importer(&self, name: &str) -> Result<ImporterHandle, PluginError> {
        self.find(Kind::Importer, name).map(ImporterHandle::new)
    }

    /// The importer that is surest that a file is its own.
    ///
    /// # Errors
    /// When none is sure enough, with what each of them said.
    pub fn importer_for(&self, name: &str, bytes: &[u8]) -> Result<ImporterHandle, PluginError> {
        let mut said = Vec::new();
        let mut best: Option<(f64, Cow<'_, ImporterHandle>)> = None;
        let bundled = self.bundled_importers.get_or_init(|| {
            let bundled = self.bundled_components(Kind::Importer);
            bundled.map(ImporterHandle::new).collect()
        });
        ask_all(
            bundled.iter().map(Cow::Borrowed),
            name,
            bytes,
            &mut best,
            &mut said,
        );
        // A file that a bundled importer knows is never given to a stranger unasked.
        if best.as_ref().is_none_or(|(sure, _)| *sure < SURE_ENOUGH) {
            let names = self
                .components(Kind::Importer)
                .into_iter()
                .map(|info| info.id);
            let external = names.filter_map(|id| self.importer(&id).ok());
            ask_all(external.map(Cow::Owned), name, bytes, &mut best, &mut said);
        }
        match best {
            Some((sure, importer)) if sure >= SURE_ENOUGH => Ok(importer.into_owned()),
            _ => {
                let text = format!(
                    "no importer takes `{name}` for its own ({})",
                    said.join("; ")
                );
                Err(PluginError::new("importer", Failure::NotFound { text }))
            }
        }
    }

    fn find(&self, kind: Kind, name: &str) -> Result<Launcher, PluginError> {
        let bundled = self
            .bundled_components(kind)
            .find(|launcher| named(&launcher.manifest, &launcher.component, name));
        if let Some(bundled) = bundled {
            return Ok(bundled);
        }
        let (mut usable, mut unusable) = (Vec::new(), None);
        for judged in self.external().0 {
            match self.external_component(&judged, kind, name) {
                Some(Ok(launcher)) => usable.push(launcher),
                Some(Err(error)) => unusable = unusable.or(Some(error)),
                None => {}
            }
        }
        match (usable.len(), unusable) {
            (1, _) => usable.pop().ok_or_else(|| self.unknown(kind, name)),
            (0, Some(error)) => Err(error),
            (0, None) => Err(self.unknown(kind, name)),
            _ => {
                let names: Vec<String> = usable.iter().map(Launcher::id).collect();
                let text = format!("`{name}` may be `{}`", names.join("` or `"));
                Err(PluginError::new(name, Failure::NotFound { text }))
            }
        }
    }

    fn unknown(&self, kind: Kind, name: &str) -> PluginError {
        let known: Vec<String> = self.bundled_components(kind).map(|l| l.id()).collect();
        let word = kind.word();
        let text = format!(
            "there is no {word} `{name}`; bundled are `{}`",
            known.join("`, `")
        );
        PluginError::new(name, Failure::NotFound { text })
    }

    /// `None` when the plug-in has no such component, as far as can be told.
    fn external_component(
        &self,
        judged: &Judged,
        kind: Kind,
        name: &str,
    ) -> Option<Result<Launcher, PluginError>> {
        let refused = |failure: &Failure| Err(PluginError::new(&judged.id, failure.clone()));
        let manifest = match &judged.folder.manifest {
            Ok(manifest) => manifest,
            Err(failure) => {
                let meant = name.split('/').next() == Some(judged.id.as_str());
                return meant.then(|| refused(failure));
            }
        };
        let of_kind = || {
            manifest
                .components
                .iter()
                .filter(|component| component.kind == kind)
        };
        let component = of_kind().find(|component| named(manifest, component, name));
        let component = component.or_else(|| {
            of_kind()
                .next()
                .filter(|_| manifest.id == name && of_kind().count() == 1)
        })?;
        Some(match (&judged.failure, &judged.library, &judged.approval) {
            (None, Some(library), Some(approval)) => {
                let origin = Origin::External(library.clone());
                let mut launcher = self.launcher(manifest, component, origin);
                launcher.limits = launcher.limits.at_most(approval.limits);
                let files = self.settings.approvals.clone();
                launcher.runs = Some(Runs {
                    files,
                    bad_before: approval.bad_runs,
                });
                Ok(launcher)
            }
            (Some(failure), ..) => refused(failure),
            _ => refused(&Failure::NotFound {
                text: "its library is missing".into(),
            }),
        })
    }

    /// Components of a kind that may be used, each with the name to call it by, what it is and
    /// what it decides by.
    pub fn components(&self, kind: Kind) -> Vec<ComponentInfo> {
        let bundled = self.bundled_components(kind);
        let external = self.external().0.into_iter().flat_map(|judged| {
            let manifest = judged.folder.manifest.as_ref().ok();
            let names = manifest.into_iter().flat_map(|manifest| {
                let of_kind = manifest.components.iter().filter(|c| c.kind == kind);
                of_kind.map(|c| format!("{}/{}", manifest.id, c.name))
            });
            let found = names.filter_map(|name| self.external_component(&judged, kind, &name));
            found.filter_map(Result::ok).collect::<Vec<_>>()
        });
        let info = |launcher: Launcher| ComponentInfo {
            id: launcher.id(),
            provenance: launcher.provenance(String::new()),
            description: launcher.component.description.clone(),
            evidence: launcher.component.evidence.clone(),
            config_schema: launcher.component.config_schema.clone(),
        };
        bundled.chain(external).map(info).collect()
    }

    fn bundled_components(&self, kind: Kind) -> impl Iterator<Item = Launcher> {
        self.bundled.iter().flat_map(move |(descriptor, manifest)| {
            let manifest = manifest.as_ref().ok();
            let components = manifest
                .into_iter()
                .flat_map(|m| m.components.iter().map(move |c| (m, c)));
            components
                .filter(move |(_, component)| component.kind == kind)
                .map(|(manifest, component)| {
                    self.launcher(manifest, component, Origin::Bundled { descriptor })
                })
        })
    }

    fn launcher(&self, manifest: &Manifest, component: &Component, origin: Origin) -> Launcher {
        Launcher {
            manifest: manifest.clone(),
            component: component.clone(),
            origin,
            // Without a parameter only a schema that requires one can refuse; then the plug-in's
            // own defaults count, and `create` says what is missing.
            config: parameters(&component.config_schema, &[]).unwrap_or_else(|_| Map::new()),
            limits: manifest.limits.at_most(self.settings.ceiling),
            isolation: match self.settings.isolate {
                Isolate::PerCall => Isolation::PerCall,
                Isolate::External | Isolate::All => manifest.isolation,
            },
            isolate_bundled: self.settings.isolate != Isolate::External,
            sandbox_required: self.settings.sandbox_required,
            program: self.settings.worker.clone(),
            runs: None,
        }
    }
}

/// Asks importers whether a file is theirs. One that fails is no reason not to ask the next.
fn ask_all<'a>(
    importers: impl Iterator<Item = Cow<'a, ImporterHandle>>,
    name: &str,
    bytes: &[u8],
    best: &mut Option<(f64, Cow<'a, ImporterHandle>)>,
    said: &mut Vec<String>,
) {
    for importer in importers {
        let Ok(sure) = importer.probe(name, bytes) else {
            continue;
        };
        let line = format!("`{}`: {}", importer.id(), sure.reason);
        if !said.contains(&line) {
            said.push(line);
        }
        if best
            .as_ref()
            .is_none_or(|(other, _)| sure.confidence > *other)
        {
            *best = Some((sure.confidence, importer));
        }
    }
}

fn named(manifest: &Manifest, component: &Component, name: &str) -> bool {
    component.name == name || format!("{}/{}", manifest.id, component.name) == name
}

fn external_info(judged: Judged, unreadable: Option<&str>) -> PluginInfo {
    let why = judged.failure.as_ref().map(ToString::to_string);
    let manifest = judged.folder.manifest.ok();
    let here = |m: &Manifest| {
        m.libraries
            .iter()
            .find(|l| Some(l.target.as_str()) == TARGET)
            .cloned()
    };
    PluginInfo {
        id: judged.id,
        state: judged.state,
        digest: manifest
            .as_ref()
            .and_then(here)
            .map(|library| library.sha256),
        folder: Some(judged.folder.path.display().to_string()),
        why: why.map(|why| unreadable.map_or(why.clone(), |text| format!("{why}; {text}"))),
        manifest,
    }
}

fn bundled_info((_, manifest): &Read) -> PluginInfo {
    match manifest {
        Ok(manifest) => PluginInfo {
            id: manifest.id.clone(),
            state: State::Bundled,
            digest: Some(bundled_digest(manifest)),
            folder: None,
            why: None,
            manifest: Some(manifest.clone()),
        },
        Err(why) => PluginInfo {
            id: String::new(),
            state: State::Invalid,
            digest: None,
            folder: None,
            why: Some(why.to_string()),
            manifest: None,
        },
    }
}
