//! What the entry checks and the strategies see of a kept sheet.

use crate::failure::Failure;
use dyebook_checks::{Context, EvaluatedSheet, KnownPaper, evaluate, run_checks};
use dyebook_documents::{Check, DyeRegister, Method, MethodState, Sheet};
use dyebook_library::Library;
use jiff::civil::Date;

/// A sheet with the method version it is bound to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BoundSheet<'a> {
    pub(crate) sheet: &'a Sheet,
    pub(crate) method: &'a Method,
    pub(crate) method_state: MethodState,
}

/// All entry checks over one sheet.
pub(crate) fn check_sheet(
    bound: BoundSheet<'_>,
    dyes: &DyeRegister,
    known_papers: &[KnownPaper],
    group_sheets: &[EvaluatedSheet],
    today: Date,
) -> Vec<Check> {
    let evaluated = evaluate(bound.sheet, bound.method, dyes);
    run_checks(&Context {
        sheet: bound.sheet,
        evaluated: &evaluated,
        method: bound.method,
        method_state: bound.method_state,
        dyes,
        known_papers,
        group_sheets,
        today,
    })
}

/// Papers of all other kept sheets of the sheet's session.
pub(crate) fn papers_of_session(
    library: &Library,
    session: &str,
    except: &str,
) -> Result<Vec<KnownPaper>, Failure> {
    let others = library.session_sheets(session)?;
    Ok(others
        .iter()
        .filter(|kept| kept.id != except)
        .flat_map(|kept| KnownPaper::of_sheet(&kept.id, &kept.sheet))
        .collect())
}

/// The day of a moment, in UTC.
pub(crate) fn utc_day(moment: jiff::Timestamp) -> Date {
    jiff::tz::TimeZone::UTC.to_datetime(moment).date()
}
