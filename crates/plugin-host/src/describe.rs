//! What a library says about itself, compared with its manifest.

use serde::Deserialize;

use crate::failure::{Failure, Stage};
use crate::manifest::{Kind, Manifest};

#[derive(Debug, Deserialize)]
struct Described {
    id: String,
    version: String,
    components: Vec<DescribedComponent>,
}

#[derive(Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
struct DescribedComponent {
    kind: Kind,
    name: String,
    contract: String,
}

/// Is this what the plug-in of that id says about itself?
pub(crate) fn says_id(describe: &str, id: &str) -> bool {
    serde_json::from_str::<Described>(describe).is_ok_and(|described| described.id == id)
}

/// Refuses a library whose own words differ from its manifest.
pub(crate) fn agrees(describe: &str, manifest: &Manifest) -> Result<(), Failure> {
    let refused = |text: String| Failure::LoadFailed {
        stage: Stage::Abi,
        text,
    };
    let mut described: Described = serde_json::from_str(describe)
        .map_err(|error| refused(format!("its `describe` can't be read: {error}")))?;
    let differs = |field: &str, library: &str, manifest: &str| {
        refused(format!(
            "the {field} is `{library}` in the library and `{manifest}` in the manifest"
        ))
    };
    if described.id != manifest.id {
        return Err(differs("id", &described.id, &manifest.id));
    }
    if described.version != manifest.version {
        return Err(differs("version", &described.version, &manifest.version));
    }
    let mut listed: Vec<DescribedComponent> = manifest
        .components
        .iter()
        .map(|c| DescribedComponent {
            kind: c.kind,
            name: c.name.clone(),
            contract: c.contract.clone(),
        })
        .collect();
    listed.sort();
    described.components.sort();
    if listed == described.components {
        return Ok(());
    }
    let words = |components: &[DescribedComponent]| {
        let words = components
            .iter()
            .map(|c| format!("{} {}", c.contract, c.name));
        words.collect::<Vec<_>>().join(", ")
    };
    Err(differs(
        "list of components",
        &words(&described.components),
        &words(&listed),
    ))
}
