//! The manifest of a plug-in: what it is, before anything of it is loaded.

use dyebook_schemas::catalogue::PLUGIN_MANIFEST;
use semver::{Version, VersionReq};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::digest::sha256_hex;
use crate::failure::{Failure, Versioned};
use crate::limits::Limits;

/// A longer manifest is not read.
pub(crate) const MOST_BYTES: u64 = 256 * 1024;

/// The host's ABI, as a version.
const HOST_ABI: Version = Version::new(
    dyebook_plugin_abi::DYB_ABI_MAJOR as u64,
    dyebook_plugin_abi::DYB_ABI_MINOR as u64,
    0,
);

/// Parts of a contract beyond its first form that this host has. None yet.
const HOST_FEATURES: [&str; 0] = [];

/// A manifest that was read and fits its schema.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// Reverse domain name.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// The plug-in's own version.
    pub version: String,
    /// What it is, in a sentence or two.
    #[serde(default)]
    pub description: String,
    /// SPDX expression.
    pub license: String,
    /// Who made it.
    #[serde(default)]
    pub authors: Vec<String>,
    /// Where it is described.
    #[serde(default)]
    pub homepage: Option<String>,
    /// Oldest ABI it can live with.
    pub abi: String,
    /// What is in it.
    pub components: Vec<Component>,
    /// Its libraries, one a target.
    #[serde(default)]
    pub libraries: Vec<Library>,
    /// What it asks for.
    #[serde(default)]
    pub limits: Limits,
    /// How it wants to be kept apart.
    #[serde(default)]
    pub isolation: Isolation,
    /// SHA-256 of the manifest's bytes.
    #[serde(skip_deserializing)]
    pub sha256: String,
}

/// Does a process serve one call or many?
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Isolation {
    /// Many.
    #[default]
    Pooled,
    /// One.
    PerCall,
}

/// Kind of a component.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Says which dyes are in a lane.
    Strategy,
    /// Reads a file format.
    Importer,
}

impl Kind {
    /// Its word in manifests.
    pub fn word(self) -> &'static str {
        match self {
            Self::Strategy => "strategy",
            Self::Importer => "importer",
        }
    }
}

/// A component of a plug-in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Component {
    /// Strategy or importer.
    pub kind: Kind,
    /// Short name, as typed on a command line.
    pub name: String,
    /// `strategy/1` or `importer/1`.
    pub contract: String,
    /// One line.
    #[serde(default)]
    pub description: String,
    /// What a strategy decides by.
    #[serde(default)]
    pub evidence: Vec<String>,
    /// Optional parts of the contract that it uses.
    #[serde(default)]
    pub features: Vec<String>,
    /// Parts of the contract that the host must have.
    #[serde(default)]
    pub requires_features: Vec<String>,
    /// Same input, same bytes.
    #[serde(default = "yes")]
    pub deterministic: bool,
    /// JSON Schema of the parameters.
    #[serde(default = "no_parameters")]
    pub config_schema: Value,
    /// Endings of the files that an importer reads.
    #[serde(default)]
    pub extensions: Vec<String>,
    /// The largest file an importer takes.
    #[serde(default)]
    pub max_bytes: Option<u64>,
}

/// A library file beside the manifest.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Library {
    /// Target triple.
    pub target: String,
    /// Bare file name.
    pub file: String,
    /// Bytes.
    pub size: u64,
    /// Digest.
    pub sha256: String,
}

fn yes() -> bool {
    true
}

fn no_parameters() -> Value {
    serde_json::json!({ "type": "object", "additionalProperties": false, "properties": {} })
}

impl Manifest {
    /// Reads a manifest from its bytes.
    ///
    /// # Errors
    /// [`Failure::InvalidManifest`] with everything that is wrong.
    pub fn read(bytes: &[u8]) -> Result<Self, Failure> {
        let invalid = |problems: Vec<String>| Failure::InvalidManifest { problems };
        if bytes.len() as u64 > MOST_BYTES {
            return Err(invalid(vec![format!(
                "it is larger than {} KiB",
                MOST_BYTES / 1024
            )]));
        }
        let text = std::str::from_utf8(bytes)
            .map_err(|error| invalid(vec![format!("it is not UTF-8: {error}")]))?;
        let value = dyebook_schemas::check_text(&PLUGIN_MANIFEST, text)
            .map_err(|problems| invalid(problems.iter().map(ToString::to_string).collect()))?;
        let mut manifest: Self =
            serde_json::from_value(value).map_err(|error| invalid(vec![error.to_string()]))?;
        manifest.sha256 = sha256_hex(bytes);
        let problems = manifest.problems();
        if problems.is_empty() {
            Ok(manifest)
        } else {
            Err(invalid(problems))
        }
    }

    /// Reads a manifest that is part of the program. Builds with assertions, and so every test, hold
    /// it against the schema; a released program does not look again at every start.
    ///
    /// # Errors
    /// [`Failure::InvalidManifest`].
    pub(crate) fn read_bundled(text: &str) -> Result<Self, Failure> {
        if cfg!(debug_assertions) {
            return Self::read(text.as_bytes());
        }
        let mut manifest: Self =
            serde_json::from_str(text).map_err(|error| Failure::InvalidManifest {
                problems: vec![error.to_string()],
            })?;
        manifest.sha256 = sha256_hex(text.as_bytes());
        Ok(manifest)
    }

    /// What the schema can't say.
    fn problems(&self) -> Vec<String> {
        let mut problems = Vec::new();
        if let Err(error) = Version::parse(&self.version) {
            problems.push(format!("/version is not a semantic version: {error}"));
        }
        for (place, component) in self.components.iter().enumerate() {
            let same =
                |other: &&Component| (other.kind, &other.name) == (component.kind, &component.name);
            if self.components.iter().take(place).any(|other| same(&other)) {
                problems.push(format!(
                    "/components/{place}/name `{}` stands twice",
                    component.name
                ));
            }
            let kind = component.kind.word();
            if component.contract.split('/').next() != Some(kind) {
                problems.push(format!(
                    "/components/{place}/contract `{}` is not one of a {kind}",
                    component.contract
                ));
            }
            if let Err(why) = dyebook_schemas::check_against(&component.config_schema, &Value::Null)
                && why
                    .iter()
                    .any(|problem| problem.pointer == "/config_schema")
            {
                problems.extend(why.iter().map(|p| format!("/components/{place}{p}")));
            }
        }
        problems
    }

    /// Does it speak an ABI and contracts that this host speaks?
    ///
    /// # Errors
    /// [`Failure::Incompatible`] with both versions.
    pub fn compatible(&self) -> Result<(), Failure> {
        let fits = VersionReq::parse(&format!("^{}", self.abi)).is_ok_and(|r| r.matches(&HOST_ABI));
        if !fits {
            return Err(Failure::Incompatible {
                part: Versioned::Abi,
                text: format!(
                    "it needs ABI {} and this host has {}.{}",
                    self.abi, HOST_ABI.major, HOST_ABI.minor
                ),
            });
        }
        for component in &self.components {
            let known = format!("{}/1", component.kind.word());
            if component.contract != known {
                let text = format!(
                    "`{}` speaks `{}` and this host `{known}`",
                    component.name, component.contract
                );
                return Err(Failure::Incompatible {
                    part: Versioned::Contract,
                    text,
                });
            }
            let missing = component
                .requires_features
                .iter()
                .find(|feature| !HOST_FEATURES.contains(&feature.as_str()));
            if let Some(feature) = missing {
                let text = format!(
                    "`{}` requires the feature `{feature}`, which this host does not have",
                    component.name
                );
                return Err(Failure::Incompatible {
                    part: Versioned::Contract,
                    text,
                });
            }
        }
        Ok(())
    }

    /// The component of this kind and name.
    pub fn component(&self, kind: Kind, name: &str) -> Option<&Component> {
        self.components
            .iter()
            .find(|component| component.kind == kind && component.name == name)
    }
}
