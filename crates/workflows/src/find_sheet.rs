//! A kept sheet by its identifier or an unambiguous beginning of it.

use crate::failure::Failure;
use dyebook_library::{KeptSheet, Library};

/// The sheet that a person means.
///
/// # Errors
/// No such sheet, or several whose identifiers begin so.
pub fn find_sheet(library: &Library, wanted: &str) -> Result<KeptSheet, Failure> {
    if let Some(kept) = library.sheet(wanted, None)? {
        return Ok(kept);
    }
    let beginning = library.sheet_ids_beginning(wanted)?;
    match beginning.as_slice() {
        [one] => library.sheet(one, None)?.ok_or_else(|| unknown(wanted)),
        [] => Err(unknown(wanted)),
        several => Err(Failure::refused(
            "sheet.ambiguous",
            format!(
                "{} sheets have an id that begins with `{wanted}`",
                several.len()
            ),
        )
        .details(several.iter().take(20).cloned())
        .hint("type more of the one you mean")),
    }
}

fn unknown(wanted: &str) -> Failure {
    Failure::refused(
        "sheet.unknown",
        format!("the reference library holds no sheet `{wanted}`"),
    )
    .hint("`dyebook sheet list` shows what is there")
}
