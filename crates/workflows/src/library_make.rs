//! A new reference library with what dyebook brings along.

use crate::bundled_documents::{DYES, METHODS};
use crate::dyes::add_dye;
use crate::failure::{Failure, FailureClass};
use crate::method_document::check_method;
use crate::methods::keep_draft;
use dyebook_library::{Library, Stamp};
use serde_json::Value;
use std::path::Path;

/// Makes a reference library with the bundled dyes, and the example methods as drafts.
///
/// # Errors
/// An existing file, and what the file system says.
pub fn make_library(path: &Path, stamp: &Stamp) -> Result<Library, Failure> {
    let dyes: Vec<Value> = serde_json::from_str(DYES).map_err(|error| {
        Failure::new(FailureClass::Bug, "bundled.not-readable", error.to_string())
    })?;
    Library::create_with(path, |library| {
        for dye in dyes {
            add_dye(
                library,
                "a bundled dye",
                &dye.to_string(),
                Some("bundled"),
                stamp,
            )?;
        }
        let register = library.dye_register()?;
        for text in METHODS {
            let checked = check_method("a bundled method", text, &register)?;
            keep_draft(library, &checked, stamp)?;
        }
        Ok(())
    })
}
