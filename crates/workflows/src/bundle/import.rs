//! A bundle in.

use super::Bundle;
use super::read::read_bundle;
use super::take_sheets::take_sheets;
use crate::failure::Failure;
use crate::method_document::check_method;
use dyebook_documents::{Digest, DyeRegister, digest_bytes, digest_value};
use dyebook_library::{Change, Library, Origin, Stamp};
use semver::Version;
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeSet;

/// What `library import` took.
#[derive(Debug, Clone, Serialize)]
pub struct BundleReport {
    /// SHA-256 of the file.
    pub sha256: Digest,
    /// Method versions, taken or not.
    pub methods: Vec<TakenMethod>,
    /// Dyes, taken or not.
    pub dyes: Vec<Taken>,
    /// Sheets, taken or not.
    pub sheets: Vec<Taken>,
}

/// One method version of a bundle.
#[derive(Debug, Clone, Serialize)]
pub struct TakenMethod {
    /// Identifier.
    pub id: String,
    /// Version.
    pub version: Version,
    /// Content digest.
    pub digest: Digest,
    /// Whether it was taken.
    pub taken: bool,
    /// Why not.
    pub why: Option<String>,
    /// Never: what comes from elsewhere is verified here, by approval.
    pub verified: bool,
    /// Whether another content stands here under that version.
    pub conflict: bool,
}

/// One dye or sheet of a bundle.
#[derive(Debug, Clone, Serialize)]
pub struct Taken {
    /// Identifier.
    pub id: String,
    /// Whether it was taken.
    pub taken: bool,
    /// Why not.
    pub why: Option<String>,
    /// Whether another content stands here under that name.
    pub conflict: bool,
}

/// Takes a bundle in. Method versions become drafts from elsewhere, to be verified and approved
/// here; what is there already stays, and what differs is named.
///
/// # Errors
/// A file that is no bundle, was changed after it was made, or holds a document that its schema
/// refuses; then nothing is taken.
pub fn import_bundle(
    library: &mut Library,
    name: &str,
    text: &str,
    stamp: &Stamp,
) -> Result<BundleReport, Failure> {
    let bundle = read_bundle(name, text)?;
    let dyes = register_with(library, &bundle)?;
    for method in &bundle.methods {
        let document = method.document.to_string();
        check_method(&format!("{name}: a method"), &document, &dyes)?;
    }
    let reason = format!(
        "taken in from the bundle `{name}` made by {}",
        bundle.made_by
    );
    // What is here is looked up inside the change, so that nobody can put something there between
    // the look and the taking.
    let change = library.change(stamp.clone())?;
    let dyes = take_dyes(&change, &bundle, &reason)?;
    let methods = take_methods(&change, &bundle, &reason)?;
    let sheets = take_sheets(&change, &bundle, &methods, &reason)?;
    change.commit()?;
    Ok(BundleReport {
        sha256: digest_bytes(text.as_bytes()),
        methods,
        dyes,
        sheets,
    })
}

fn take_dyes(change: &Change<'_>, bundle: &Bundle, reason: &str) -> Result<Vec<Taken>, Failure> {
    let mut report = Vec::with_capacity(bundle.dyes.len());
    for dye in &bundle.dyes {
        let id = text_member(dye, "id");
        let here = change.dye_digest(id)?;
        let differs = here.map(|digest| digest != digest_value(dye).as_str());
        if differs.is_none() {
            change.keep_dye(id, dye, Some(reason))?;
        }
        report.push(taken(id.to_owned(), differs));
    }
    Ok(report)
}

fn take_methods(
    change: &Change<'_>,
    bundle: &Bundle,
    reason: &str,
) -> Result<Vec<TakenMethod>, Failure> {
    let mut report = Vec::with_capacity(bundle.methods.len());
    for method in &bundle.methods {
        let (id, version) = (
            text_member(&method.document, "id").to_owned(),
            text_member(&method.document, "version"),
        );
        let version = Version::parse(version)
            .map_err(|error| Failure::refused("bundle.not-valid", error.to_string()))?;
        let here = change.method(&id, &version)?;
        let differs = here.map(|kept| kept.digest != method.digest);
        if differs.is_none() {
            let (document, digest) = (&method.document, &method.digest);
            let origin = Origin::External;
            change.keep_draft(&id, &version, document, digest, origin, Some(reason))?;
        }
        let Taken {
            id,
            taken,
            why,
            conflict,
        } = taken(id, differs);
        report.push(TakenMethod {
            id,
            version,
            digest: method.digest.clone(),
            taken,
            why,
            verified: false,
            conflict,
        });
    }
    Ok(report)
}

pub(super) fn text_member<'a>(document: &'a Value, key: &str) -> &'a str {
    document
        .get(key)
        .and_then(Value::as_str)
        .unwrap_or_default()
}

pub(super) fn taken(id: String, differs: Option<bool>) -> Taken {
    let why = match differs {
        None => None,
        Some(false) => Some("is here already with the same content".to_owned()),
        Some(true) => {
            Some("is here already with another content, which was left as it is".to_owned())
        }
    };
    Taken {
        id,
        taken: differs.is_none(),
        why,
        conflict: differs == Some(true),
    }
}

/// The dyes known here and those of the bundle: its methods may name dyes that are new here.
fn register_with(library: &Library, bundle: &Bundle) -> Result<DyeRegister, Failure> {
    let here = library.dyes()?;
    let mut all: Vec<Value> = here.iter().map(|kept| kept.document.clone()).collect();
    let ids: BTreeSet<String> = here.into_iter().map(|kept| kept.id).collect();
    let new = |dye: &&Value| !ids.contains(text_member(dye, "id"));
    all.extend(bundle.dyes.iter().filter(new).cloned());
    let dyes = all
        .into_iter()
        .filter_map(|dye| serde_json::from_value(dye).ok());
    Ok(DyeRegister::new(dyes))
}
