//! The report of a sheet, filled from the library.

use crate::failure::{Failure, FailureClass};
use crate::resolve_method::resolve_method;
use crate::sheet_show::ShownSheet;
use dyebook_documents::{DyeRegister, Identification};
use dyebook_library::Library;
use dyebook_report::{HistoryLine, ReportSpot, SheetReport, sheet_report};

/// The HTML report of a sheet with an identification of it.
///
/// # Errors
/// What the library says.
pub fn sheet_page(
    library: &Library,
    dyes: &DyeRegister,
    shown: &ShownSheet,
    identification: Option<&Identification>,
    demo: bool,
) -> Result<String, Failure> {
    let used = match identification {
        Some(found) => resolve_method(
            library,
            &format!("{}@{}", found.method.id, found.method.version),
        )?,
        None => shown.bound.clone(),
    };
    let method = used.method()?;
    let history = library
        .history(Some(&shown.kept.id))?
        .into_iter()
        .map(|record| HistoryLine {
            when: record.at,
            who: record.by,
            what: record.action,
            why: record.reason.unwrap_or_default(),
        })
        .collect();
    let spots = shown
        .evaluated
        .lanes
        .iter()
        .flat_map(|lane| {
            lane.spots.iter().map(|spot| ReportSpot {
                paper: lane.paper.to_string(),
                lane: lane.lane,
                spot: spot.spot,
                rf: spot.rf,
                u: spot.u,
            })
        })
        .collect();
    Ok(sheet_report(&SheetReport {
        sheet_id: shown.kept.id.clone(),
        sheet: &shown.kept.sheet,
        sheet_revision: shown.kept.revision,
        amended: !shown.amendments.is_empty(),
        imported_at: shown.kept.at.clone(),
        importer: shown.kept.importer.clone(),
        method: &method,
        method_state: used.state,
        method_digest: &used.digest,
        dyes,
        identification,
        spots,
        checks: &shown.checks,
        history,
        demo,
        program: format!("dyebook {}", env!("CARGO_PKG_VERSION")),
    }))
}

/// A stored identification as the program reads it.
///
/// # Errors
/// A kept document that can't be read, which `library verify` would name too.
pub fn stored_identification(
    library: &Library,
    sheet: &str,
) -> Result<Option<Identification>, Failure> {
    let Some(kept) = library.latest_identification(sheet)? else {
        return Ok(None);
    };
    serde_json::from_value(kept.document)
        .map(Some)
        .map_err(|error| {
            Failure::new(
                FailureClass::Library,
                "library.unreadable",
                format!("the stored identification of `{sheet}` can't be read back: {error}"),
            )
            .hint("run `dyebook library verify`")
        })
}
