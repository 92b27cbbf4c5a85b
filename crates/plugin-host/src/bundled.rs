//! Plug-ins that are linked into the program, through the same table as the others.

use std::path::PathBuf;

use dyebook_plugin_abi::dyb_plugin;

use crate::check::Descriptor;
use crate::digest::sha256_hex;
use crate::failure::Failure;
use crate::greeting::Load;
use crate::launcher::linked;
use crate::manifest::Manifest;

/// The list of bundled plug-ins: descriptor and manifest of each.
pub type Bundled = &'static [(&'static dyb_plugin, &'static str)];

/// Ids that only bundled plug-ins have.
pub(crate) const RESERVED: &str = "dyebook.";

/// Where the code of a plug-in comes from.
#[derive(Clone, Debug)]
pub(crate) enum Origin {
    /// Linked in.
    Bundled {
        /// Its table.
        descriptor: &'static dyb_plugin,
    },
    /// A library of its own.
    External(External),
}

/// A library that was found, by the digest that it is allowed to have.
#[derive(Clone, Debug)]
pub(crate) struct External {
    pub(crate) path: PathBuf,
    pub(crate) size: u64,
    pub(crate) sha256: String,
}

impl Origin {
    /// What a result says it was made by. A bundled plug-in has no file of its own: its digest is
    /// that of its manifest and version, which stays the same over builds of one source.
    pub(crate) fn digest(&self, manifest: &Manifest) -> String {
        match self {
            Self::Bundled { .. } => bundled_digest(manifest),
            Self::External(library) => library.sha256.clone(),
        }
    }

    /// What a worker is told to load.
    pub(crate) fn load(&self, manifest: &Manifest) -> Load {
        match self {
            Self::Bundled { .. } => Load::Bundled {
                id: manifest.id.clone(),
            },
            Self::External(library) => Load::Library {
                path: library.path.display().to_string(),
                size: library.size,
                sha256: library.sha256.clone(),
            },
        }
    }
}

/// The digest of a bundled plug-in.
pub(crate) fn bundled_digest(manifest: &Manifest) -> String {
    sha256_hex(format!("{}\n{}", manifest.sha256, manifest.version).as_bytes())
}

/// A bundled plug-in with its manifest read.
pub(crate) type Read = (&'static dyb_plugin, Result<Manifest, Failure>);

/// Reads the manifests of the bundled plug-ins.
pub(crate) fn read(bundled: Bundled) -> Vec<Read> {
    bundled
        .iter()
        .map(|(descriptor, manifest)| (*descriptor, Manifest::read_bundled(manifest)))
        .collect()
}

/// The table of a bundled plug-in by its id, as the table itself says it: a worker that starts has
/// no time to check every manifest of the program again.
pub(crate) fn find(bundled: Bundled, id: &str) -> Result<Descriptor, Failure> {
    let mut descriptors = bundled.iter().filter_map(|(table, _)| linked(table).ok());
    let found = descriptors.find(|descriptor| crate::describe::says_id(&descriptor.describe, id));
    let text = || format!("`{id}` is not bundled in this program");
    found.ok_or_else(|| Failure::NotFound { text: text() })
}
