//! Identities: which dyes are in the lanes of kept sheets, with everything needed to get the same
//! answer again.

use crate::failure::Failure;
use crate::identify_batches::{AskedSheet, Batch, Leave, batches};
use crate::judge::{JudgedBy, SheetInQuestion, judge};
use crate::matcher::Matcher;
use crate::sheet_amend::of_what_stands;
use crate::sheet_evidence::{SessionPapers, check_sheet};
use crate::stored_identification::{StoredStamps, stored_form};
use dyebook_checks::evaluate;
use dyebook_documents::{DyeRegister, Identification, Method};
use dyebook_library::{KeptSheet, Library, NewIdentification, Stamp};
use rayon::prelude::*;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct IdentifyRequest<'a> {
    /// The sheets.
    pub sheets: &'a [KeptSheet],
    /// Another method version than the one each sheet is bound to.
    pub method: Option<&'a str>,
    /// Leave to match across major versions, with the reason.
    pub across_versions: Option<&'a str>,
}

impl<'a> IdentifyRequest<'a> {
    pub(crate) fn leave(&self) -> Leave<'a> {
        Leave {
            method: self.method,
            across_versions: self.across_versions,
        }
    }
}

/// Identifies the lanes of sheets. Nothing is stored.
///
/// # Errors
/// Matching across versions without leave, a strategy that can't be used, what the library says.
pub fn identify(
    library: &Library,
    dyes: &DyeRegister,
    matcher: &mut dyn Matcher,
    request: IdentifyRequest<'_>,
) -> Result<Vec<Identification>, Failure> {
    let sessions = request.sheets.iter().map(|kept| kept.sheet.session());
    let papers = SessionPapers::kept(library, sessions)?;
    let batches = batches(library, request)?;
    judge_batches(dyes, matcher, request, &batches, &papers, &|found, _| found)
}

/// The same without the library: its part are the batches and the papers of the sheets' sessions.
/// Every identification is finished while it is at hand.
///
/// # Errors
/// A strategy that can't be used.
pub(crate) fn judge_batches<T: Send>(
    dyes: &DyeRegister,
    matcher: &mut dyn Matcher,
    request: IdentifyRequest<'_>,
    batches: &[Batch],
    papers: &SessionPapers,
    finish: Finish<'_, T>,
) -> Result<Vec<T>, Failure> {
    let mut found: Vec<Option<T>> = Vec::new();
    found.resize_with(request.sheets.len(), || None);
    for batch in batches {
        for (at, finished) in judge_batch(dyes, matcher, request, batch, papers, finish)? {
            if let Some(place) = found.get_mut(at) {
                *place = Some(finished);
            }
        }
    }
    Ok(found.into_iter().flatten().collect())
}

/// What becomes of an identification.
pub(crate) type Finish<'a, T> = &'a (dyn Fn(Identification, &StoredStamps) -> T + Sync);

fn judge_batch<T: Send>(
    dyes: &DyeRegister,
    matcher: &mut dyn Matcher,
    request: IdentifyRequest<'_>,
    batch: &Batch,
    papers: &SessionPapers,
    finish: Finish<'_, T>,
) -> Result<Vec<(usize, T)>, Failure> {
    let by = JudgedBy {
        kept: &batch.kept,
        method: &batch.method,
        usable: batch.usable,
        across_versions: request.across_versions,
    };
    let sheets: Vec<(&AskedSheet, &KeptSheet)> = (batch.sheets.iter())
        .filter_map(|asked| Some((asked, request.sheets.get(asked.at)?)))
        .collect();
    let lanes = sheets.iter().map(|(_, kept)| kept.sheet.lanes.len()).sum();
    judge(
        matcher,
        dyes,
        &by,
        &sheets,
        lanes,
        |(_, kept)| in_question(kept, &batch.method, dyes),
        |(asked, kept), evaluated, mut found, stamps| {
            let checks = check_sheet(kept, evaluated, &batch.method, dyes, papers);
            found.checks = of_what_stands(checks, &asked.corrected);
            (asked.at, finish(found, stamps))
        },
    )
}

fn in_question<'a>(
    kept: &'a KeptSheet,
    method: &Method,
    dyes: &DyeRegister,
) -> SheetInQuestion<'a> {
    SheetInQuestion {
        id: &kept.id,
        revision: kept.revision,
        digest: &kept.digest,
        kind: kept.kind,
        bound: (&kept.method_id, &kept.method_version),
        session: kept.sheet.session(),
        evaluated: evaluate(&kept.sheet, method, dyes),
    }
}

/// Stores identifications; the same one is stored once.
///
/// # Errors
/// What the library says.
pub fn keep_identifications(
    library: &mut Library,
    identifications: &[Identification],
    stamp: &Stamp,
) -> Result<(), Failure> {
    let stored: Vec<NewIdentification> = (identifications.par_iter())
        .map(|found| stored_form(found, &StoredStamps::new(&found.method, &found.strategy)))
        .collect();
    keep_stored(library, &stored, stamp)
}

pub(crate) fn keep_stored(
    library: &mut Library,
    identifications: &[NewIdentification],
    stamp: &Stamp,
) -> Result<(), Failure> {
    let change = library.change(stamp.clone())?;
    for identification in identifications {
        change.keep_identification(identification)?;
    }
    change.commit()?;
    Ok(())
}
