//! All plug-ins that there are, and the way to one of them.

use serde::Serialize;
use serde_json::Map;

use crate::bundled::{Bundled, Origin, Read, read};
use crate::failure::{Failure, PluginError};
use crate::importer::ImporterHandle;
use crate::launcher::Launcher;
use crate::manifest::{Component, Kind, Manifest};
use crate::parameters::parameters;
use crate::settings::Settings;
use crate::strategy::StrategyHandle;

/// Below this no importer is sure enough to be given a file unasked.
const SURE_ENOUGH: f64 = 0.5;

/// All plug-ins that there are.
#[derive(Debug)]
pub struct Plugins {
    bundled: Vec<Read>,
    settings: Settings,
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
        }
    }

    /// All of them, bundled ones first, each group by id.
    pub fn list(&self) -> Vec<PluginInfo> {
        let mut list: Vec<PluginInfo> = self.bundled.iter().map(bundled_info).collect();
        list.sort_by(|a, b| a.id.cmp(&b.id));
        list
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
        let mut best: Option<(f64, ImporterHandle)> = None;
        for launcher in self.bundled_components(Kind::Importer) {
            let importer = ImporterHandle::new(launcher);
            let Ok(sure) = importer.probe(name, bytes) else {
                continue;
            };
            said.push(format!("`{}`: {}", importer.id(), sure.reason));
            if best
                .as_ref()
                .is_none_or(|(other, _)| sure.confidence > *other)
            {
                best = Some((sure.confidence, importer));
            }
        }
        match best {
            Some((sure, importer)) if sure >= SURE_ENOUGH => Ok(importer),
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
        let found = self.bundled_components(kind).find(|launcher| {
            launcher.component.name == name
                || format!("{}/{}", launcher.manifest.id, launcher.component.name) == name
        });
        found.ok_or_else(|| {
            let known: Vec<String> = self.bundled_components(kind).map(|l| l.id()).collect();
            let text = format!(
                "there is no {} `{name}`; there is `{}`",
                kind.word(),
                known.join("`, `")
            );
            PluginError::new(name, Failure::NotFound { text })
        })
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
            isolation: manifest.isolation,
        }
    }
}

fn bundled_info((_, manifest): &Read) -> PluginInfo {
    match manifest {
        Ok(manifest) => PluginInfo {
            id: manifest.id.clone(),
            state: State::Bundled,
            digest: None,
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
