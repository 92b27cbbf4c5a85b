//! Fills the size and digest of the library into the manifest of a plug-in's folder.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use crate::digest::sha256_hex;
use crate::folder::MANIFEST;
use crate::manifest::{Library, Manifest};
use crate::target::TARGET;

/// What was filled in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Sealed {
    /// The manifest's file.
    pub manifest: String,
    /// The entry for this machine.
    pub library: Library,
}

/// Why nothing was filled in.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SealError {
    /// A file can't be read or written.
    #[error("`{path}`: {text}")]
    File {
        /// The file.
        path: String,
        /// Why.
        text: String,
    },
    /// The manifest can't be used.
    #[error("the manifest can't be used: {text}")]
    Manifest {
        /// Why.
        text: String,
    },
    /// It is not clear which file is the library.
    #[error("there {} in `{folder}`", match found.len() {
        0 => "is no library `*.so`".to_owned(),
        _ => format!("are several libraries (`{}`)", found.join("`, `")),
    })]
    WhichLibrary {
        /// The folder.
        folder: String,
        /// Libraries in it.
        found: Vec<String>,
    },
    /// This build of dyebook loads no libraries.
    #[error("external plug-ins can't be loaded in this build of dyebook")]
    NoTarget,
}

impl SealError {
    /// The stable code.
    pub fn id(&self) -> &'static str {
        match self {
            Self::File { .. } => "plugin.seal-file",
            Self::Manifest { .. } => "plugin.invalid_manifest",
            Self::WhichLibrary { .. } => "plugin.seal-which-library",
            Self::NoTarget => "plugin.no-target",
        }
    }

    /// What to do.
    pub fn hints(&self) -> Vec<String> {
        match self {
            Self::WhichLibrary { found, .. } if found.is_empty() => vec!["build it first".into()],
            Self::WhichLibrary { .. } => vec!["leave only the one that belongs here".into()],
            _ => Vec::new(),
        }
    }
}

#[derive(Deserialize)]
struct Spans<'m> {
    #[serde(borrow)]
    libraries: Option<&'m RawValue>,
}

/// Fills in the entry for this machine; everything else in the manifest stays as written.
///
/// # Errors
/// When the manifest or the library can't be used.
pub fn seal(folder: &Path) -> Result<Sealed, SealError> {
    let target = TARGET.ok_or(SealError::NoTarget)?;
    let path = folder.join(MANIFEST);
    let text = fs::read_to_string(&path).map_err(|error| file_error(&path, &error))?;
    let not_usable = |text: String| SealError::Manifest { text };
    let manifest =
        Manifest::read(text.as_bytes()).map_err(|failure| not_usable(failure.to_string()))?;
    let mut libraries = manifest.libraries;
    let here = libraries
        .iter()
        .position(|library| library.target == target);
    let file = match here.map(|here| libraries.remove(here)) {
        Some(library) => library.file,
        None => only_library(folder)?,
    };
    let library_path = folder.join(&file);
    let bytes = fs::read(&library_path).map_err(|error| file_error(&library_path, &error))?;
    let library = Library {
        target: target.into(),
        file,
        size: bytes.len() as u64,
        sha256: sha256_hex(&bytes),
    };
    libraries.push(library.clone());
    libraries.sort_by(|a, b| a.target.cmp(&b.target));
    let filled = serde_json::to_string(&libraries).map_err(|e| not_usable(e.to_string()))?;
    let spans: Spans<'_> = serde_json::from_str(&text).map_err(|e| not_usable(e.to_string()))?;
    let sealed = fill(&text, spans.libraries.map(RawValue::get), &filled);
    write(&path, &sealed).map_err(|error| file_error(&path, &error))?;
    Ok(Sealed {
        manifest: path.display().to_string(),
        library,
    })
}

/// Puts the new list where the old one stands, or at the end where there is none.
fn fill(text: &str, old: Option<&str>, filled: &str) -> String {
    // The old list is a piece of this very text.
    let begin = old.map(|old| old.as_ptr() as usize - text.as_ptr() as usize);
    if let (Some(begin), Some(old)) = (begin, old) {
        let (before, rest) = text.split_at(begin);
        return format!(
            "{before}{filled}{}",
            rest.get(old.len()..).unwrap_or_default()
        );
    }
    let (before, rest) = text.split_at(text.rfind('}').unwrap_or(text.len()));
    format!("{},\n  \"libraries\": {filled}\n{rest}", before.trim_end())
}

fn only_library(folder: &Path) -> Result<String, SealError> {
    let entries = fs::read_dir(folder).map_err(|error| file_error(folder, &error))?;
    let paths = entries.flatten().map(|entry| entry.path());
    let mut found: Vec<String> = paths
        .filter(|path| path.extension().is_some_and(|end| end == "so") && path.is_file())
        .filter_map(|path: PathBuf| path.file_name().map(|n| n.to_string_lossy().into_owned()))
        .collect();
    found.sort();
    match found.as_slice() {
        [only] => Ok(only.clone()),
        _ => Err(SealError::WhichLibrary {
            folder: folder.display().to_string(),
            found,
        }),
    }
}

fn write(path: &Path, text: &str) -> std::io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut file = tempfile::Builder::new()
        .prefix(".manifest-")
        .tempfile_in(folder)?;
    file.write_all(text.as_bytes())?;
    let permissions = fs::metadata(path)?.permissions();
    file.as_file().set_permissions(permissions)?;
    file.persist(path)?;
    Ok(())
}

fn file_error(path: &Path, error: &std::io::Error) -> SealError {
    SealError::File {
        path: path.display().to_string(),
        text: error.to_string(),
    }
}
