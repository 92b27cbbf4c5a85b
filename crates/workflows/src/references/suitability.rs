//! `suitability`: may the class start with this paper and this developing solvent?

use super::standards::standards;
use super::suitability_lines::{Judged, Looked, Noted, lines};
use crate::failure::Failure;
use crate::invented::is_invented;
use crate::lots::verified_lots;
use crate::sheet_show::{ShownSheet, show_sheet};
use dyebook_documents::{Check, DyeRegister, Severity};
use dyebook_library::Library;
use dyebook_report::{SlipLine, SlipVerdict, SuitabilitySlip, suitability_slip};

/// The outcome with what it rests on.
#[derive(Debug, Clone)]
pub struct Suitability {
    /// The sheet with the method version it was judged by.
    pub shown: ShownSheet,
    /// The slip.
    pub slip: SuitabilitySlip,
    /// Why the class may not start, in sentences; empty unless the verdict is stop.
    pub stops: Vec<String>,
    /// Entry checks that forbid the use of the sheet.
    pub checks: Vec<Check>,
}

impl Suitability {
    /// The slip as a page that prints on half of A4.
    pub fn html(&self) -> String {
        suitability_slip(&self.slip)
    }
}

/// Judges a sheet by the limits of the method version it is bound to.
///
/// # Errors
/// No such sheet, and what the library says.
pub fn check_suitability(
    library: &Library,
    dyes: &DyeRegister,
    sheet: &str,
    noted: Noted,
) -> Result<Suitability, Failure> {
    let shown = show_sheet(library, dyes, sheet)?;
    let exclusions = library.exclusions()?;
    let found = standards(
        library,
        dyes,
        std::slice::from_ref(&shown.kept),
        &shown.method,
        &exclusions,
    )?;
    let judged = lines(&Looked {
        evaluated: &shown.evaluated,
        method: &shown.method,
        dyes,
        standards: &found,
        noted,
    });
    let checks: Vec<Check> = shown
        .checks
        .iter()
        .filter(|check| check.severity == Severity::Stop)
        .cloned()
        .collect();
    let lots = batch_line(library, &shown)?;
    Ok(outcome(shown, judged, lots, checks))
}

fn outcome(shown: ShownSheet, judged: Judged, batch: SlipLine, checks: Vec<Check>) -> Suitability {
    let mut stops = judged.stops;
    stops.extend(checks.iter().map(|check| {
        format!(
            "{}: {} [{}]",
            check.place.words(),
            check.message,
            check.check
        )
    }));
    let verdict = if !stops.is_empty() {
        SlipVerdict::Stop
    } else if judged.restrictions.is_empty() {
        SlipVerdict::Go
    } else {
        SlipVerdict::GoWithRestrictions
    };
    let sheet = &shown.kept.sheet;
    let unknown = || "not written".to_owned();
    let mut lines = judged.lines;
    lines.push(batch);
    Suitability {
        slip: SuitabilitySlip {
            sheet: shown.kept.id.clone(),
            section: sheet.section.clone().unwrap_or_else(unknown),
            date: sheet.date.map_or_else(unknown, |date| date.to_string()),
            method: shown.bound.name(),
            digest: shown.bound.digest.as_str().to_owned(),
            batch: sheet.batch.clone().unwrap_or_else(unknown),
            verdict,
            restrictions: stops.iter().chain(&judged.restrictions).cloned().collect(),
            lines,
            demo: is_invented(&shown.method),
            program: super::program(),
        },
        stops,
        checks,
        shown,
    }
}

/// Whether anybody verified the batch for the method version.
fn batch_line(library: &Library, shown: &ShownSheet) -> Result<SlipLine, Failure> {
    let what = "batch of developing solvent".to_owned();
    let limit = format!("verified for {}", shown.bound.version);
    let Some(batch) = &shown.kept.sheet.batch else {
        return Ok(SlipLine {
            what,
            value: "not written".to_owned(),
            limit,
            keeps: None,
        });
    };
    let record = verified_lots(library, Some(&shown.bound.id))?
        .into_iter()
        .find(|lot| {
            lot.kind == crate::lots::LotKind::Batch
                && lot.lot.eq_ignore_ascii_case(batch)
                && lot.method == shown.bound.name()
        });
    Ok(match record {
        Some(record) => SlipLine {
            what,
            value: format!("{batch}, by {}: {}", record.by, record.note),
            limit,
            keeps: Some(true),
        },
        None => SlipLine {
            what,
            value: format!("{batch}, no record of it"),
            limit,
            keeps: None,
        },
    })
}
