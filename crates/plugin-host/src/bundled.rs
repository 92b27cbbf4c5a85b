//! Plug-ins that are linked into the program, through the same table as the others.

use dyebook_plugin_abi::dyb_plugin;

use crate::digest::sha256_hex;
use crate::failure::Failure;
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
}

impl Origin {
    /// What a result says it was made by. A bundled plug-in has no file of its own: its digest is
    /// that of its manifest and version, which stays the same over builds of one source.
    pub(crate) fn digest(&self, manifest: &Manifest) -> String {
        match self {
            Self::Bundled { .. } => {
                sha256_hex(format!("{}\n{}", manifest.sha256, manifest.version).as_bytes())
            }
        }
    }
}

/// A bundled plug-in with its manifest read.
pub(crate) type Read = (&'static dyb_plugin, Result<Manifest, Failure>);

/// Reads the manifests of the bundled plug-ins.
pub(crate) fn read(bundled: Bundled) -> Vec<Read> {
    bundled
        .iter()
        .map(|(descriptor, manifest)| (*descriptor, Manifest::read(manifest.as_bytes())))
        .collect()
}
