//! One sheet with everything that is known of it.

use crate::failure::Failure;
use crate::find_sheet::find_sheet;
use crate::resolve_method::resolve_method;
use crate::sheet_amend::{AmendedField, amendments, of_what_stands};
use crate::sheet_evidence::{SessionPapers, check_sheet};
use dyebook_checks::{EvaluatedSheet, evaluate};
use dyebook_documents::{Check, DyeRegister, Method};
use dyebook_library::{Exclusion, KeptMethod, KeptSheet, Library};

/// One sheet with everything that is known of it.
#[derive(Debug, Clone)]
pub struct ShownSheet {
    /// The sheet.
    pub kept: KeptSheet,
    /// The method version it is bound to.
    pub bound: KeptMethod,
    /// The same as the program reads it.
    pub method: Method,
    /// Lanes and spots with Rf.
    pub evaluated: EvaluatedSheet,
    /// What the entry checks say.
    pub checks: Vec<Check>,
    /// Spots that count for no assigned value, by a person's word.
    pub exclusions: Vec<Exclusion>,
    /// What a person corrected.
    pub amendments: Vec<AmendedField>,
    /// Name of the file it was read from.
    pub file_name: String,
}

/// Finds a sheet and computes what follows from it.
///
/// # Errors
/// No such sheet, and what the library says.
pub fn show_sheet(
    library: &Library,
    dyes: &DyeRegister,
    wanted: &str,
) -> Result<ShownSheet, Failure> {
    let kept = find_sheet(library, wanted)?;
    let bound = resolve_method(
        library,
        &format!("{}@{}", kept.method_id, kept.method_version),
    )?;
    let method = bound.method()?;
    let papers = SessionPapers::kept(library, [kept.sheet.session()])?;
    let evaluated = evaluate(&kept.sheet, &method, dyes);
    let mut exclusions = library.exclusions()?;
    exclusions.retain(|excluded| excluded.sheet == kept.id);
    let amendments = amendments(library, &kept.id)?;
    let checks = check_sheet(&kept, &evaluated, &method, dyes, &papers);
    let checks = of_what_stands(checks, &amendments);
    let file_name = library
        .source_file(&kept.file_sha256)?
        .map_or_else(String::new, |(n, _)| n);
    Ok(ShownSheet {
        kept,
        bound,
        method,
        evaluated,
        checks,
        exclusions,
        amendments,
        file_name,
    })
}
