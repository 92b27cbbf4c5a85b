//! Reads a bundle and holds it against what it says it is.

use super::import::text_member;
use super::{Bundle, own_digest};
use crate::failure::Failure;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use dyebook_documents::digest_bytes;
use dyebook_library::content_digest;
use dyebook_methods::content_digest as method_digest;
use dyebook_schemas::{catalogue, check_text, check_value};
use std::collections::BTreeSet;

/// Reads a bundle and holds every digest and document against what it says it is.
pub(super) fn read_bundle(name: &str, text: &str) -> Result<Bundle, Failure> {
    let value = check_text(&catalogue::BUNDLE, text)
        .map_err(|problems| Failure::not_valid(name, "bundle", &problems))?;
    let bundle: Bundle = serde_json::from_value(value).map_err(|error| {
        Failure::refused(
            "bundle.not-valid",
            format!("`{name}` is no bundle: {error}"),
        )
    })?;
    let changed = |what: &str| {
        Failure::refused(
            "bundle.changed",
            format!("`{name}` was changed after it was made: {what} does not fit its digest"),
        )
        .hint("nothing was taken; ask for the bundle again")
    };
    if own_digest(&bundle)? != bundle.digest {
        return Err(changed("the bundle"));
    }
    nothing_twice(name, &bundle)?;
    for dye in &bundle.dyes {
        check_value(&catalogue::DYE, dye)
            .map_err(|problems| Failure::not_valid(name, "dye", &problems))?;
    }
    for method in &bundle.methods {
        if method_digest(&method.document) != method.digest {
            return Err(changed("a method"));
        }
    }
    for file in &bundle.files {
        let fits = BASE64
            .decode(&file.base64)
            .is_ok_and(|bytes| digest_bytes(&bytes) == file.sha256);
        if !fits {
            return Err(changed(&format!("the file `{}`", file.name)));
        }
    }
    for sheet in &bundle.sheets {
        check_value(&catalogue::SHEET, &sheet.document)
            .map_err(|problems| Failure::not_valid(name, "sheet", &problems))?;
        if content_digest(&sheet.document) != sheet.digest {
            return Err(changed(&format!("the sheet `{}`", sheet.id)));
        }
    }
    Ok(bundle)
}

/// Two contents under one name: whoever made the bundle by hand must say which one is meant.
fn nothing_twice(name: &str, bundle: &Bundle) -> Result<(), Failure> {
    let mut seen = BTreeSet::new();
    let dyes = bundle
        .dyes
        .iter()
        .map(|dye| format!("dye `{}`", text_member(dye, "id")));
    let methods = bundle.methods.iter().map(|method| {
        let member = |key| text_member(&method.document, key);
        format!("method `{}@{}`", member("id"), member("version"))
    });
    for thing in dyes.chain(methods) {
        if let Some(twice) = seen.replace(thing) {
            return Err(Failure::refused(
                "bundle.not-valid",
                format!("`{name}` holds the {twice} twice"),
            )
            .hint("nothing was taken; ask for the bundle again"));
        }
    }
    Ok(())
}
