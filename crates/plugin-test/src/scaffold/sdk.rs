//! The SDK as it goes with every new plug-in in Rust, so that it builds without anything else of
//! dyebook. A test compares the list with the folders.

macro_rules! sdk {
    ($($path:literal),* $(,)?) => {
        &[$((concat!("sdk/dyebook-", $path), include_str!(concat!("../../../", $path)))),*]
    };
}

/// Path in the new plug-in, and contents.
pub(super) const SOURCES: &[(&str, &str)] = sdk![
    "plugin-abi/include/dyebook_plugin.h",
    "plugin-abi/src/lib.rs",
    "plugin/src/binary.rs",
    "plugin/src/component.rs",
    "plugin/src/context.rs",
    "plugin/src/error.rs",
    "plugin/src/importer/adapter.rs",
    "plugin/src/importer/messages.rs",
    "plugin/src/importer/mod.rs",
    "plugin/src/importer/output.rs",
    "plugin/src/importer/pieces.rs",
    "plugin/src/importer/table/closeness.rs",
    "plugin/src/importer/table/header.rs",
    "plugin/src/importer/table/mod.rs",
    "plugin/src/importer/table/number.rs",
    "plugin/src/importer/table/row.rs",
    "plugin/src/lib.rs",
    "plugin/src/macros.rs",
    "plugin/src/shim.rs",
    "plugin/src/sink.rs",
    "plugin/src/strategy/adapter.rs",
    "plugin/src/strategy/answers.rs",
    "plugin/src/strategy/colour.rs",
    "plugin/src/strategy/lanes.rs",
    "plugin/src/strategy/mod.rs",
    "plugin/src/strategy/reasons.rs",
    "plugin/src/strategy/reference_set.rs",
    "plugin/src/strategy/told_numbers.rs",
    "plugin/src/strict_json.rs",
];

/// Their manifests, which here inherit from the project's.
pub(super) const ABI_MANIFEST: &str = r#"[package]
name = "dyebook-plugin-abi"
version = "@VERSION@"
edition = "2024"
license = "Apache-2.0"
publish = false
"#;

pub(super) const SDK_MANIFEST: &str = r#"[package]
name = "dyebook-plugin"
version = "@VERSION@"
edition = "2024"
license = "Apache-2.0"
publish = false

[dependencies]
dyebook-plugin-abi = { path = "../dyebook-plugin-abi" }
compact_str = { version = "0.10", default-features = false, features = ["serde", "std"] }
postcard = { version = "1", default-features = false, features = ["use-std"] }
serde = { version = "1", features = ["derive"] }
serde_json = { version = "1", features = ["float_roundtrip"] }
"#;

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::Path;

    fn collect(folder: &Path, base: &Path, into: &mut Vec<String>) {
        for entry in fs::read_dir(folder).unwrap().flatten() {
            let path = entry.path();
            if path.is_dir() {
                collect(&path, base, into);
            } else {
                let path = path.strip_prefix(base).unwrap().display().to_string();
                into.push(format!("sdk/dyebook-{path}"));
            }
        }
    }

    #[test]
    fn the_list_is_the_folders() {
        let crates = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap();
        let mut found = Vec::new();
        for folder in ["plugin/src", "plugin-abi/src", "plugin-abi/include"] {
            collect(&crates.join(folder), crates, &mut found);
        }
        found.sort();
        let mut listed: Vec<String> = super::SOURCES
            .iter()
            .map(|(path, _)| (*path).into())
            .collect();
        listed.sort();
        assert_eq!(listed, found);
    }
}
