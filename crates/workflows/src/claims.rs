//! What a group says of its own sheet, as evidence for the person who gives the mark.

use crate::claims_lab::{LabEvidence, lab_evidence};
use crate::failure::Failure;
use crate::sheet_evidence::{SessionPapers, check_sheet};
use crate::sheet_show::{ShownSheet, show_sheet};
use dyebook_checks::{Claims, Context, LaneTruth, SIGNATURES, claims, evaluate};
use dyebook_documents::{Check, DyeRegister, Method, MethodState, Severity, Sheet};
use dyebook_library::{KeptSheet, Library, RevisionKind};
use jiff::civil::Date;
use serde::Serialize;

/// A group's claims with all that a person weighs them by.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SheetClaims {
    /// Sheet.
    pub sheet: String,
    /// Class section.
    pub section: Option<String>,
    /// Group.
    pub group: String,
    /// Day.
    pub date: Option<Date>,
    /// Method version that its standards are held against.
    pub method: String,
    /// Whether the sheet was corrected since; the claims rest on what was handed in.
    pub amended: bool,
    /// Whether the lab may be at fault.
    pub lab: LabEvidence,
    /// What may have led the group astray: mistakes of measuring, findings that stop the sheet.
    pub causes: Vec<Check>,
    /// The claims.
    #[serde(flatten)]
    pub claims: Claims,
}

/// The claims of one sheet, held against its distances, its own standards, the record and the lab.
///
/// `control` names the sheet of the day's suitability check; without it the control papers that are
/// kept for the same batch and day are taken.
///
/// # Errors
/// No such sheet, and what the library says.
pub fn sheet_claims(
    library: &Library,
    dyes: &DyeRegister,
    wanted: &str,
    control: Option<&str>,
) -> Result<SheetClaims, Failure> {
    let shown = show_sheet(library, dyes, wanted)?;
    let shown = as_handed_in(library, dyes, shown)?;
    let record = recorded(library, &shown.kept.id)?;
    let lab = lab_evidence(library, dyes, &shown, control)?;
    let sheet = &shown.kept.sheet;
    Ok(SheetClaims {
        sheet: shown.kept.id.clone(),
        section: sheet.section.clone(),
        group: sheet.group.clone(),
        date: sheet.date,
        method: shown.bound.name(),
        amended: !shown.amendments.is_empty(),
        claims: claims_by(sheet, &shown.method, dyes, &record, lab.verdict),
        causes: causes(&shown),
        lab,
    })
}

/// The same with what was corrected since taken back.
fn as_handed_in(
    library: &Library,
    dyes: &DyeRegister,
    mut shown: ShownSheet,
) -> Result<ShownSheet, Failure> {
    if shown.amendments.is_empty() {
        return Ok(shown);
    }
    shown.kept.sheet = handed_in(library, &shown.kept)?;
    let papers = SessionPapers::kept(library, [shown.kept.sheet.session()])?;
    shown.evaluated = evaluate(&shown.kept.sheet, &shown.method, dyes);
    shown.checks = check_sheet(&shown.kept, &shown.evaluated, &shown.method, dyes, &papers);
    Ok(shown)
}

/// The sheet as the group handed it in: its claims rest on that, not on what was corrected since.
pub(crate) fn handed_in(library: &Library, kept: &KeptSheet) -> Result<Sheet, Failure> {
    let revisions = library.sheet_revisions(&kept.id)?;
    let own = revisions
        .into_iter()
        .rev()
        .find(|one| one.kind != RevisionKind::Amended);
    Ok(own.map_or_else(|| kept.sheet.clone(), |own| own.sheet))
}

/// The claims of a sheet held against a method version and a record.
pub(crate) fn claims_by(
    sheet: &Sheet,
    method: &Method,
    dyes: &DyeRegister,
    record: &[LaneTruth],
    suitability: Option<dyebook_checks::Verdict>,
) -> Claims {
    let evaluated = evaluate(sheet, method, dyes);
    let context = Context {
        sheet,
        evaluated: &evaluated,
        method,
        method_state: MethodState::Approved,
        dyes,
        own_papers: &[],
        known_papers: &[],
        group_sheets: &[],
        today: sheet.date.unwrap_or_default(),
    };
    claims(&context, record, suitability)
}

/// What is recorded of a sheet's lanes, as the checks take it.
pub(crate) fn recorded(library: &Library, sheet: &str) -> Result<Vec<LaneTruth>, Failure> {
    let record = library.truth(Some(sheet))?.into_iter();
    Ok(record
        .map(|lane| LaneTruth {
            paper: lane.paper,
            lane: lane.lane,
            dyes: lane.dyes,
        })
        .collect())
}

/// Findings that would explain wrong claims: a mistake of measuring, labels in the wrong order,
/// values that can't be used.
fn causes(shown: &ShownSheet) -> Vec<Check> {
    let is_cause = |check: &&Check| {
        let measured = SIGNATURES.iter().any(|model| model.id == check.check);
        let said_so = measured || check.check == "rank-order-inverted";
        check.severity == Severity::Stop || (said_so && check.severity >= Severity::Warn)
    };
    shown.checks.iter().filter(is_cause).cloned().collect()
}
