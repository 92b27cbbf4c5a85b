//! Dyes: found by name, added.

use crate::failure::{Failure, FailureClass};
use dyebook_documents::{Dye, DyeLookup, DyeRegister, digest_value, fold_name};
use dyebook_library::{Library, Stamp};
use dyebook_schemas::{catalogue, check_text};

/// What `dye add` did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AddedDye {
    /// Identifier.
    pub id: String,
    /// Content digest.
    pub digest: String,
    /// Whether anything changed.
    pub new: bool,
}

/// The dye that goes by a name.
///
/// # Errors
/// Several dyes go by it, with the choices; or none, with names near it.
pub fn find_dye<'a>(dyes: &'a DyeRegister, name: &str) -> Result<&'a Dye, Failure> {
    match dyes.find(name) {
        DyeLookup::Found(dye) => Ok(dye),
        DyeLookup::Ambiguous(several) => {
            let asked = fold_name(name);
            let mut failure = Failure::refused(
                "dye.ambiguous",
                format!("`{name}` is a name of {} dyes", several.len()),
            );
            for dye in several {
                let note = dye
                    .names
                    .iter()
                    .find(|n| fold_name(&n.name) == asked)
                    .and_then(|n| n.note.clone())
                    .unwrap_or_default();
                failure
                    .details
                    .push(format!("{}  {}  {note}", dye.id, dye.name));
            }
            Err(failure.hint("ask by the id, the E number or the CI number"))
        }
        DyeLookup::Unknown { near } => {
            let failure = Failure::refused("dye.unknown", format!("no dye is called `{name}`"));
            Err(if near.is_empty() {
                failure.hint("`dyebook dye list` shows all of them")
            } else {
                failure.hint(format!("did you mean {}?", near.join(" or ")))
            })
        }
    }
}

/// Keeps a dye document; its CAS numbers must have the right check digits.
///
/// # Errors
/// What the schema refuses, a wrong check digit, and what the library says.
pub fn add_dye(
    library: &mut Library,
    name: &str,
    text: &str,
    reason: Option<&str>,
    stamp: &Stamp,
) -> Result<AddedDye, Failure> {
    let document = check_text(&catalogue::DYE, text)
        .map_err(|problems| Failure::not_valid(name, "dye", &problems))?;
    let dye: Dye = serde_json::from_value(document.clone()).map_err(|error| {
        Failure::new(
            FailureClass::Bug,
            "dye.schema-and-type-differ",
            error.to_string(),
        )
    })?;
    let cas = document
        .get("cas")
        .and_then(serde_json::Value::as_array)
        .into_iter()
        .flatten();
    for number in cas.filter_map(|cas| cas.get("number")?.as_str()) {
        if !dyebook_documents::is_cas_number(number) {
            return Err(Failure::refused(
                "dye.cas-check-digit",
                format!("`{number}` is no CAS number: its check digit is wrong"),
            )
            .detail(format!("in  `{name}`"))
            .hint("look it up again; the last digit checks the others"));
        }
    }
    let change = library.change(stamp.clone())?;
    let new = change.keep_dye(&dye.id, &document, reason)?;
    change.commit()?;
    Ok(AddedDye {
        id: dye.id,
        digest: digest_value(&document).to_string(),
        new,
    })
}
