//! Looks at a plug-in without running any of it.

mod elf;

use std::path::Path;

use serde::Serialize;

use crate::digest::sha256_hex;
use crate::failure::Failure;
use crate::folder::{Folder, library_bytes, library_file, library_for_here};
use crate::manifest::Manifest;

/// What a look at a plug-in found.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Inspection {
    /// Its folder.
    pub folder: String,
    /// Its id.
    pub id: String,
    /// Its manifest, where that can be read.
    pub manifest: Option<Manifest>,
    /// SHA-256 of its library for this machine, as it is now.
    pub library_sha256: Option<String>,
    /// Everything that was looked at.
    pub findings: Vec<Finding>,
}

/// One thing that was looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Short name of the rule, which does not change.
    pub rule: &'static str,
    /// What it means.
    pub grade: Grade,
    /// A sentence.
    pub text: String,
}

/// What a finding means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// As it should be.
    Pass,
    /// Worth knowing.
    Note,
    /// Looks wrong.
    Warn,
    /// Such a plug-in is not approved.
    Refuse,
}

impl Inspection {
    /// Is there nothing that speaks against approving it?
    pub fn may_be_approved(&self) -> bool {
        self.findings
            .iter()
            .all(|finding| finding.grade != Grade::Refuse)
    }

    fn find(&mut self, rule: &'static str, grade: Grade, text: impl Into<String>) {
        self.findings.push(Finding {
            rule,
            grade,
            text: text.into(),
        });
    }

    fn refuse(&mut self, rule: &'static str, failure: &Failure) {
        self.find(rule, Grade::Refuse, failure.to_string());
    }
}

/// Looks at the plug-in in a folder.
pub fn inspect(folder: &Path) -> Inspection {
    // A relative name such as `.` has no last part to compare the id with.
    let folder = &folder.canonicalize().unwrap_or_else(|_| folder.to_owned());
    let read = Folder::read(folder);
    let mut inspection = Inspection {
        folder: folder.display().to_string(),
        id: read.id(),
        manifest: None,
        library_sha256: None,
        findings: Vec::new(),
    };
    let manifest = match read.manifest {
        Ok(manifest) => manifest,
        Err(failure) => {
            inspection.refuse("manifest", &failure);
            return inspection;
        }
    };
    inspection.find("manifest", Grade::Pass, "the manifest fits its schema");
    if let Err(failure) = manifest.compatible() {
        inspection.refuse("compatible", &failure);
    }
    look_at_library(folder, &manifest, &mut inspection);
    inspection.manifest = Some(manifest);
    inspection
}

fn look_at_library(folder: &Path, manifest: &Manifest, inspection: &mut Inspection) {
    let library = match library_for_here(manifest) {
        Ok(library) => library,
        Err(failure) => return inspection.refuse("library", &failure),
    };
    let bytes = library_file(folder, library).and_then(|file| library_bytes(&file.path));
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(failure) => return inspection.refuse("library", &failure),
    };
    let found = sha256_hex(&bytes);
    if found == library.sha256 {
        inspection.find(
            "digest",
            Grade::Pass,
            format!("the library has the SHA-256 {found}"),
        );
    } else {
        let text = format!(
            "the library has the SHA-256 {found}, the manifest says {}",
            library.sha256
        );
        inspection.find("digest", Grade::Refuse, text);
    }
    inspection.library_sha256 = Some(found);
    elf::look(&bytes, inspection);
}
