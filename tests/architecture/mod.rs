//! The shape that DEVELOPERS.md promises.

mod files;
mod layers;
mod licences;
mod only_this_crate;
mod schemas;
mod source;
mod words;

use cargo_metadata::{DependencyKind, Metadata, MetadataCommand, Package};

/// What cargo knows of the project and of everything it is built from on this machine.
fn metadata() -> Metadata {
    let rustc = std::process::Command::new("rustc")
        .arg("-vV")
        .output()
        .unwrap();
    let said = String::from_utf8(rustc.stdout).unwrap();
    let host = said
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .unwrap();
    MetadataCommand::new()
        .manifest_path(crate::project::top().join("Cargo.toml"))
        .other_options(["--locked".to_owned(), format!("--filter-platform={host}")])
        .exec()
        .unwrap()
}

/// Our own packages that a package of ours needs to be built and used, tests left out.
fn own_dependencies<'a>(metadata: &'a Metadata, package: &'a Package) -> Vec<&'a str> {
    let ours = metadata.workspace_packages();
    package
        .dependencies
        .iter()
        .filter(|dependency| dependency.kind != DependencyKind::Development)
        .map(|dependency| dependency.name.as_str())
        .filter(|name| ours.iter().any(|other| other.name.as_str() == *name))
        .collect()
}
