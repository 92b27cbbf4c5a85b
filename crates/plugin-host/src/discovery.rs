//! Finds plug-ins: `<folder>/<id>/manifest.json`, one level deep. Nothing is loaded.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use crate::folder::{Folder, MANIFEST};

/// Everything found, by id; more than one folder for an id is for the caller to judge.
pub(crate) fn discover(search: &[PathBuf]) -> BTreeMap<String, Vec<Folder>> {
    let mut found: BTreeMap<String, Vec<Folder>> = BTreeMap::new();
    let mut seen: Vec<PathBuf> = Vec::new();
    for folder in search {
        // A place to search that is not there, or not readable, holds no plug-ins.
        let Ok(entries) = fs::read_dir(folder) else {
            continue;
        };
        let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
        paths.sort();
        for path in paths
            .into_iter()
            .filter(|path| path.join(MANIFEST).symlink_metadata().is_ok())
        {
            let real = path.canonicalize().unwrap_or_else(|_| path.clone());
            if seen.contains(&real) {
                continue;
            }
            seen.push(real);
            let folder = Folder::read(&path);
            found.entry(folder.id()).or_default().push(folder);
        }
    }
    found
}
