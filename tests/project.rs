//! The project's own files, for tests that read them.

use std::path::{Path, PathBuf};

/// The top of the project.
pub(crate) fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .canonicalize()
        .unwrap()
}

/// A text of the project.
pub(crate) fn text(path: &str) -> String {
    std::fs::read_to_string(top().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// A JSON document of the project.
pub(crate) fn json(path: &str) -> serde_json::Value {
    serde_json::from_str(&text(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Every file below a folder, by its path from the top, sorted; build results and version control
/// are left out.
pub(crate) fn files_below(folder: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut folders = vec![top().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if name == "target" || name == ".git" {
                continue;
            }
            if path.is_dir() {
                folders.push(path);
            } else {
                let from_top = path.strip_prefix(top()).unwrap();
                found.push(from_top.to_string_lossy().replace('\\', "/"));
            }
        }
    }
    found.sort();
    found
}

/// Files with this ending below any of the folders.
pub(crate) fn files_ending(folders: &[&str], ending: &str) -> Vec<String> {
    folders
        .iter()
        .flat_map(|folder| files_below(folder))
        .filter(|path| path.ends_with(ending))
        .collect()
}

/// The names in a folder, sorted.
pub(crate) fn names_in(folder: &str) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(top().join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}
