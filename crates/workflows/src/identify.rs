//! Identities: which dyes are in the lanes of kept sheets, with everything needed to get the same
//! answer again.

use crate::failure::Failure;
use crate::identify_batches::{AskedSheet, Batch, Leave, batches};
use crate::lane_identity::lane_identity;
use crate::match_request::{known_sheet, lane as question, reference_set};
use crate::matcher::{Instance, Matcher, shares};
use crate::sheet_amend::of_what_stands;
use crate::sheet_evidence::{SessionPapers, check_sheet};
use dyebook_checks::{EvaluatedSheet, evaluate};
use dyebook_documents::{
    Digest, DyeRegister, Identification, LaneIdentity, Method, MethodStamp, StrategyStamp,
    canonical_json_in_order, digest_bytes,
};
use dyebook_library::{KeptSheet, Library, RevisionKind, Stamp};
use dyebook_plugin::strategy as message;
use rayon::prelude::*;
use serde::Serialize;
use serde_json::{Value, json};

/// Sheets that an instance is asked about at a time: few enough to stay in a core's cache until
/// they are done, with lanes for a call or two.
const SHEETS_A_QUESTION: usize = 5;

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
    judge(dyes, matcher, request, &batches, &papers, &|found| found)
}

/// The same without the library: its part are the batches and the papers of the sheets' sessions.
/// Every identification is finished while it is at hand.
///
/// # Errors
/// A strategy that can't be used.
pub(crate) fn judge<T: Send>(
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
pub(crate) type Finish<'a, T> = &'a (dyn Fn(Identification) -> T + Sync);

fn judge_batch<T: Send>(
    dyes: &DyeRegister,
    matcher: &mut dyn Matcher,
    request: IdentifyRequest<'_>,
    batch: &Batch,
    papers: &SessionPapers,
    finish: Finish<'_, T>,
) -> Result<Vec<(usize, T)>, Failure> {
    let lanes = |asked: &AskedSheet| {
        request
            .sheets
            .get(asked.at)
            .map(|kept| kept.sheet.lanes.len())
    };
    let lanes = batch.sheets.iter().filter_map(lanes).sum();
    matcher.prepare(
        &reference_set(&batch.kept, &batch.method, dyes, batch.usable),
        lanes,
    )?;
    let judge = Judge {
        dyes,
        request,
        method: &batch.method,
        version: batch.version(),
        strategy: matcher.stamp(),
        papers,
    };
    let found: Vec<Vec<(usize, T)>> = shares(matcher.instances(), &batch.sheets)
        .into_par_iter()
        .map(|(instance, sheets)| {
            let mut found = Vec::with_capacity(sheets.len());
            for some in sheets.chunks(SHEETS_A_QUESTION) {
                let judged = judge.sheets(instance, some)?;
                found.extend(judged.into_iter().map(|(at, one)| (at, finish(one))));
            }
            Ok(found)
        })
        .collect::<Result<_, Failure>>()?;
    Ok(found.into_iter().flatten().collect())
}

/// What sheets of one batch are judged by.
struct Judge<'a> {
    dyes: &'a DyeRegister,
    request: IdentifyRequest<'a>,
    method: &'a Method,
    version: MethodStamp,
    strategy: StrategyStamp,
    papers: &'a SessionPapers,
}

impl Judge<'_> {
    fn sheets(
        &self,
        instance: &mut dyn Instance,
        asked: &[AskedSheet],
    ) -> Result<Vec<(usize, Identification)>, Failure> {
        let sheets: Vec<InQuestion<'_>> = asked
            .iter()
            .filter_map(|asked| {
                let kept = self.request.sheets.get(asked.at)?;
                let evaluated = evaluate(&kept.sheet, self.method, self.dyes);
                Some(InQuestion {
                    asked,
                    kept,
                    evaluated,
                })
            })
            .collect();
        let questions = questions(&sheets);
        let mut answers = instance
            .answer(&questions.lanes, &questions.sheets)?
            .into_iter();
        let found = sheets
            .iter()
            .map(|sheet| (sheet.asked.at, self.identification(sheet, &mut answers)));
        Ok(found.collect())
    }

    fn identification(
        &self,
        sheet: &InQuestion<'_>,
        answers: &mut impl Iterator<Item = message::LaneAnswer>,
    ) -> Identification {
        let (kept, evaluated) = (sheet.kept, &sheet.evaluated);
        let lanes = evaluated.lanes.iter();
        let checks = check_sheet(kept, evaluated, self.method, self.dyes, self.papers);
        Identification {
            sheet: kept.id.clone(),
            sheet_revision: kept.revision,
            sheet_digest: kept.digest.clone(),
            amended: kept.kind == RevisionKind::Amended,
            method: self.version.clone(),
            strategy: self.strategy.clone(),
            lanes: lanes
                .map(|lane| lane_identity(lane, answers.next()))
                .collect(),
            notes: notes(kept, &self.version, self.method, self.request),
            checks: of_what_stands(checks, &sheet.asked.corrected),
        }
    }
}

/// A sheet under question, with Rf.
struct InQuestion<'a> {
    asked: &'a AskedSheet,
    kept: &'a KeptSheet,
    evaluated: EvaluatedSheet,
}

/// What is known of the sheets' papers, and every lane of them as a question.
fn questions(sheets: &[InQuestion<'_>]) -> message::MatchRequest {
    let mut asked = message::MatchRequest::default();
    for (number, sheet) in sheets.iter().enumerate() {
        let (kept, session) = (sheet.kept, sheet.kept.sheet.session());
        asked
            .sheets
            .push(known_sheet(&kept.id, &session, &sheet.evaluated));
        for (position, lane) in sheet.evaluated.lanes.iter().enumerate() {
            let id = format!("{number}/{position}");
            asked.lanes.push(question(&id, &kept.id, &session, lane));
        }
    }
    asked
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
    let stored: Vec<StoredForm> = identifications.par_iter().map(stored_form).collect();
    keep_stored(library, identifications, &stored, stamp)
}

pub(crate) fn keep_stored(
    library: &mut Library,
    identifications: &[Identification],
    stored: &[StoredForm],
    stamp: &Stamp,
) -> Result<(), Failure> {
    let change = library.change(stamp.clone())?;
    for (identification, (document, digest)) in identifications.iter().zip(stored) {
        change.keep_identification(identification, document, digest)?;
    }
    change.commit()?;
    Ok(())
}

/// An identification as JSON text, and its digest.
pub(crate) type StoredForm = (String, Digest);

/// An identification as it is stored. What the entry checks say is worked out again whenever it is
/// shown: it may change when another sheet of the session comes in, and the identity does not.
pub(crate) fn stored_form(identification: &Identification) -> StoredForm {
    let document = canonical_json_in_order(&Stored {
        amended: identification.amended,
        checks: [],
        lanes: &identification.lanes,
        method: json!(&identification.method),
        notes: &identification.notes,
        sheet: &identification.sheet,
        sheet_digest: &identification.sheet_digest,
        sheet_revision: identification.sheet_revision,
        strategy: json!(&identification.strategy),
    });
    let digest = digest_bytes(document.as_bytes());
    (document, digest)
}

/// An [`Identification`] in the order of the names.
#[derive(Serialize)]
struct Stored<'a> {
    amended: bool,
    checks: [(); 0],
    lanes: &'a [LaneIdentity],
    method: Value,
    notes: &'a [String],
    sheet: &'a str,
    sheet_digest: &'a Digest,
    sheet_revision: u32,
    strategy: Value,
}

fn notes(
    kept: &KeptSheet,
    matched: &MethodStamp,
    method: &Method,
    request: IdentifyRequest<'_>,
) -> Vec<String> {
    let mut notes = Vec::new();
    if kept.kind == RevisionKind::Amended {
        notes.push(format!(
            "rests on an amended sheet: revision {} holds corrections accepted by a person",
            kept.revision
        ));
    }
    if (&kept.method_id, &kept.method_version) != (&matched.id, &matched.version) {
        let bound = format!("{}@{}", kept.method_id, kept.method_version);
        let comparable =
            kept.method_id == matched.id && kept.method_version.major == matched.version.major;
        let matched = format!("{}@{}", matched.id, matched.version);
        notes.push(match request.across_versions.filter(|_| !comparable) {
            Some(reason) => format!(
                "MATCHED ACROSS VERSIONS: run by `{bound}`, matched with `{matched}`, whose Rf \
                 are not comparable; reason given: {reason}"
            ),
            None => format!(
                "run by `{bound}`, matched with `{matched}` of the same major version, whose Rf \
                 are comparable by the version rules"
            ),
        });
    }
    if method.measuring.distance_sd_cm.is_none() {
        notes.push(
            "the method does not say how well distances are read, so Rf stands without u"
                .to_owned(),
        );
    }
    notes
}
