//! A plug-in's folder: manifest and library, looked at without loading anything.

use std::fs::{self, File};
use std::io::Read;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};

use crate::bundled::{External, RESERVED};
use crate::digest::sha256_hex;
use crate::failure::{Failure, Versioned};
use crate::manifest::{self, Library, Manifest};
use crate::target::TARGET;
use crate::worker::MOST_LIBRARY_BYTES;

/// The name of a manifest's file.
pub(crate) const MANIFEST: &str = "manifest.json";

/// A folder that holds a plug-in.
#[derive(Clone, Debug)]
pub(crate) struct Folder {
    pub(crate) path: PathBuf,
    pub(crate) manifest: Result<Manifest, Failure>,
}

impl Folder {
    /// Reads the manifest of a folder.
    pub(crate) fn read(path: &Path) -> Self {
        let manifest = read_manifest(path);
        Self {
            path: path.to_owned(),
            manifest,
        }
    }

    /// The id: the manifest's, or the folder's name where that can't be read.
    pub(crate) fn id(&self) -> String {
        let by_manifest = self
            .manifest
            .as_ref()
            .ok()
            .map(|manifest| manifest.id.clone());
        by_manifest.unwrap_or_else(|| {
            let name = self.path.file_name().unwrap_or(self.path.as_os_str());
            name.to_string_lossy().into_owned()
        })
    }
}

fn read_manifest(folder: &Path) -> Result<Manifest, Failure> {
    let invalid = |problem: String| Failure::InvalidManifest {
        problems: vec![problem],
    };
    safe(folder, true).map_err(invalid)?;
    let path = folder.join(MANIFEST);
    safe(&path, false).map_err(invalid)?;
    let bytes = read(&path, manifest::MOST_BYTES).map_err(invalid)?;
    let manifest = Manifest::read(&bytes)?;
    let name = folder
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    if name.as_deref() != Some(manifest.id.as_str()) {
        return Err(invalid(format!(
            "/id is `{}`, but the folder is called `{}`",
            manifest.id,
            name.unwrap_or_default()
        )));
    }
    if manifest.id.starts_with(RESERVED) {
        return Err(invalid(format!(
            "/id begins with `{RESERVED}`, which is for bundled plug-ins"
        )));
    }
    Ok(manifest)
}

/// The entry of the manifest for this machine.
pub(crate) fn library_for_here(manifest: &Manifest) -> Result<&Library, Failure> {
    let incompatible = |text: String| Failure::Incompatible {
        part: Versioned::Abi,
        text,
    };
    let Some(target) = TARGET else {
        let text = "external plug-ins can't be loaded in this build of dyebook: it needs Linux \
                    with the GNU C library on x86-64 or 64-bit ARM";
        return Err(incompatible(text.into()));
    };
    if manifest.libraries.is_empty() {
        let problem = "/libraries is empty: run `dyebook plugin seal` in the plug-in's folder";
        return Err(Failure::InvalidManifest {
            problems: vec![problem.into()],
        });
    }
    manifest
        .libraries
        .iter()
        .find(|library| library.target == target)
        .ok_or_else(|| {
            let others: Vec<&str> = manifest
                .libraries
                .iter()
                .map(|l| l.target.as_str())
                .collect();
            incompatible(format!(
                "it has no library for `{target}`, only for `{}`",
                others.join("`, `")
            ))
        })
}

/// Looks at the library's file from outside: there, regular, of the right size, writable by nobody
/// else. Its bytes are compared where they are read to be used.
pub(crate) fn library_file(folder: &Path, library: &Library) -> Result<External, Failure> {
    let path = folder.join(&library.file);
    if fs::symlink_metadata(&path).is_err() {
        let text = format!("its library `{}` is missing", path.display());
        return Err(Failure::NotFound { text });
    }
    let invalid = |problem: String| Failure::InvalidManifest {
        problems: vec![problem],
    };
    safe(&path, false).map_err(invalid)?;
    let size = fs::metadata(&path)
        .map_err(|error| invalid(error.to_string()))?
        .len();
    if size > MOST_LIBRARY_BYTES {
        return Err(invalid(format!(
            "its library has {size} bytes; more than {MOST_LIBRARY_BYTES} are not taken"
        )));
    }
    if size != library.size {
        return Err(Failure::Changed {
            part: "library".into(),
            approved: format!("{} bytes", library.size),
            found: format!("{size} bytes"),
        });
    }
    Ok(External {
        path,
        size,
        sha256: library.sha256.clone(),
    })
}

/// Reads a library's bytes.
pub(crate) fn library_bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    read(path, MOST_LIBRARY_BYTES).map_err(|problem| Failure::InvalidManifest {
        problems: vec![problem],
    })
}

/// SHA-256 of a library as it is now.
pub(crate) fn library_sha256(path: &Path) -> Result<String, Failure> {
    library_bytes(path).map(|bytes| sha256_hex(&bytes))
}

fn safe(path: &Path, folder: bool) -> Result<(), String> {
    let shown = path.display();
    let found = fs::symlink_metadata(path).map_err(|error| format!("`{shown}`: {error}"))?;
    if found.is_symlink() {
        return Err(format!("`{shown}` is a symbolic link"));
    }
    if found.is_dir() != folder || (!folder && !found.is_file()) {
        return Err(format!(
            "`{shown}` is no {}",
            if folder { "folder" } else { "regular file" }
        ));
    }
    if found.permissions().mode() & 0o022 != 0 {
        return Err(format!(
            "`{shown}` can be written to by others; `chmod go-w` on it mends that"
        ));
    }
    Ok(())
}

fn read(path: &Path, most: u64) -> Result<Vec<u8>, String> {
    let shown = path.display();
    let file = File::open(path).map_err(|error| format!("`{shown}`: {error}"))?;
    let mut bytes = Vec::new();
    let read = file.take(most + 1).read_to_end(&mut bytes);
    read.map_err(|error| format!("`{shown}`: {error}"))?;
    if bytes.len() as u64 > most {
        return Err(format!("`{shown}` is larger than {most} bytes"));
    }
    Ok(bytes)
}
