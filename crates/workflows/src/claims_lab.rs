//! Whether the lab may be at fault: the day's control papers, and how the standards of the other
//! groups of the session ran.

use crate::failure::Failure;
use crate::references::{Noted, check_suitability};
use crate::sheet_show::{ShownSheet, show_sheet};
use dyebook_checks::{EvaluatedSheet, Verdict, evaluate};
use dyebook_documents::{DyeRegister, Method, Role};
use dyebook_library::{KeptSheet, Library};
use dyebook_report::SlipVerdict;
use dyebook_statistics::summary::median;
use serde::Serialize;

/// What speaks for or against a fault of the lab.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LabEvidence {
    /// The day's suitability check: the worst verdict of its control papers.
    pub verdict: Option<Verdict>,
    /// The sheets of the control papers.
    pub control_sheets: Vec<String>,
    /// Middle difference of the group's own standards from the expected values.
    pub own_shift: Option<f64>,
    /// The same over the other groups of the session, by the same method version.
    pub session_shift: Option<f64>,
    /// How many other groups that rests on.
    pub other_groups: usize,
}

impl LabEvidence {
    /// In sentences.
    pub fn sentences(&self) -> Vec<String> {
        let mut out = vec![match self.verdict {
            Some(verdict) => format!(
                "the control paper of the day ({}) says {}",
                self.control_sheets.join(", "),
                verdict.words()
            ),
            None => "no control paper of the day is kept, so the suitability check says nothing"
                .to_owned(),
        }];
        if let Some(own) = self.own_shift {
            out.push(format!(
                "the group's own dye standards are off the expected Rf by {} (median)",
                off(own)
            ));
        }
        if let Some(session) = self.session_shift {
            out.push(format!(
                "those of the {} of the session are off by {}",
                match self.other_groups {
                    1 => "other group".to_owned(),
                    several => format!("{several} other groups"),
                },
                off(session)
            ));
        }
        out
    }
}

fn off(shift: f64) -> String {
    // What would be shown as +0.000 is no shift.
    if shift.abs() < 0.0005 {
        "0.000".to_owned()
    } else {
        format!("{shift:+.3}")
    }
}

pub(crate) fn lab_evidence(
    library: &Library,
    dyes: &DyeRegister,
    shown: &ShownSheet,
    control: Option<&str>,
) -> Result<LabEvidence, Failure> {
    let method = &shown.method;
    let others: Vec<KeptSheet> = library
        .session_sheets(&shown.kept.sheet.session())?
        .into_iter()
        .filter(|other| other.id != shown.kept.id)
        .filter(|other| same_version(other, &shown.kept))
        .collect();
    let controls = match control {
        Some(wanted) => vec![show_sheet(library, dyes, wanted)?],
        None => control_sheets(library, dyes, shown)?,
    };
    let verdicts = controls
        .iter()
        .map(|sheet| verdict(library, dyes, &sheet.kept.id))
        .collect::<Result<Vec<_>, _>>()?;
    let shifts: Vec<f64> = others
        .iter()
        .filter_map(|other| shift(&evaluate(&other.sheet, method, dyes), method))
        .collect();
    Ok(LabEvidence {
        verdict: verdicts.into_iter().max(),
        control_sheets: controls.iter().map(|one| one.kept.id.clone()).collect(),
        own_shift: shift(&shown.evaluated, method),
        session_shift: median(&shifts).ok(),
        other_groups: shifts.len(),
    })
}

fn same_version(one: &KeptSheet, other: &KeptSheet) -> bool {
    (&one.method_id, &one.method_version) == (&other.method_id, &other.method_version)
}

/// Sheets of the same day and batch that hold dye standards only: papers run to try the batch.
fn control_sheets(
    library: &Library,
    dyes: &DyeRegister,
    shown: &ShownSheet,
) -> Result<Vec<ShownSheet>, Failure> {
    let own = &shown.kept;
    if own.sheet.date.is_none() {
        return Ok(vec![]);
    }
    let mut found = vec![];
    for id in library.sheets_of_method(&own.method_id, &own.method_version)? {
        let Some(kept) = library.sheet(&id, None)? else {
            continue;
        };
        let same_day = kept.sheet.date == own.sheet.date && kept.sheet.batch == own.sheet.batch;
        if !same_day || kept.id == own.id {
            continue;
        }
        let sheet = show_sheet(library, dyes, &kept.id)?;
        let is_control = sheet
            .evaluated
            .lanes
            .iter()
            .all(|lane| lane.role != Role::Sample);
        if is_control {
            found.push(sheet);
        }
    }
    Ok(found)
}

fn verdict(library: &Library, dyes: &DyeRegister, sheet: &str) -> Result<Verdict, Failure> {
    let checked = check_suitability(library, dyes, sheet, Noted::default())?;
    Ok(match checked.slip.verdict {
        SlipVerdict::Go => Verdict::Go,
        SlipVerdict::GoWithRestrictions => Verdict::GoWithRestrictions,
        SlipVerdict::Stop => Verdict::Stop,
    })
}

/// Middle difference of the lanes of known dye from what is expected; of each lane the spot nearest
/// to its place counts, since minor spots stand elsewhere. The middle, so that one exchanged label
/// moves nothing.
fn shift(evaluated: &EvaluatedSheet, method: &Method) -> Option<f64> {
    let off = |lane: &dyebook_checks::EvaluatedLane| {
        let dye = lane.dye.as_ref()?;
        let reference = method.references.iter().find(|one| one.dye == *dye)?;
        let spots = lane.spots.iter().filter_map(|spot| spot.rf);
        spots
            .map(|rf| rf - reference.centre())
            .min_by(|a, b| a.abs().total_cmp(&b.abs()))
    };
    let all: Vec<f64> = evaluated.lanes.iter().filter_map(off).collect();
    median(&all).ok()
}
