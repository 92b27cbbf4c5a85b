//! The sheets that a person names.

use crate::failure::Failure;
use crate::find_sheet::find_sheet;
use dyebook_library::{KeptSheet, Library};

/// The sheets named by id, by an unambiguous beginning of one, or `beginning*` for all that begin
/// so; each once, in the order named.
///
/// # Errors
/// No such sheet, or several where one is meant.
pub(crate) fn wanted_sheets(
    library: &Library,
    wanted: &[String],
) -> Result<Vec<KeptSheet>, Failure> {
    let mut sheets: Vec<KeptSheet> = Vec::new();
    for name in wanted {
        let found = match name.strip_suffix('*') {
            Some(beginning) => all_beginning(library, beginning)?,
            None => vec![find_sheet(library, name)?],
        };
        for kept in found {
            if !sheets.iter().any(|there| there.id == kept.id) {
                sheets.push(kept);
            }
        }
    }
    Ok(sheets)
}

fn all_beginning(library: &Library, beginning: &str) -> Result<Vec<KeptSheet>, Failure> {
    let ids = library.sheet_ids_beginning(beginning)?;
    if ids.is_empty() {
        return Err(Failure::refused(
            "sheet.unknown",
            format!("no sheet has an id that begins with `{beginning}`"),
        )
        .hint("`dyebook sheet list` shows what is there"));
    }
    let mut sheets = Vec::new();
    for id in ids {
        sheets.extend(library.sheet(&id, None)?);
    }
    Ok(sheets)
}
