//! Identities: which dyes are in the lanes of kept sheets, with everything needed to get the same
//! answer again.

use crate::failure::{Failure, FailureClass};
use crate::match_request::{known_sheet, lane as question, reference_set};
use crate::methods::needs_reason;
use crate::resolve_method::resolve_method;
use crate::sheet_amend::{amendments, of_what_stands};
use crate::sheet_evidence::{SessionPapers, check_sheet};
use dyebook_checks::{EvaluatedLane, EvaluatedSheet, evaluate};
use dyebook_documents::{
    Candidate, ColourVerdict, Decision, Digest, DyeInLane, DyeRegister, Identification,
    LaneIdentity, Method, MethodReference, MethodStamp, MethodState, Range, SpotIdentity,
    StrategyStamp, canonical_json, digest_bytes,
};
use dyebook_library::{KeptMethod, KeptSheet, Library, RevisionKind, Stamp};
use dyebook_plugin::strategy as message;
use rayon::prelude::*;
use serde_json::Value;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

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

/// A strategy that answers lanes; the plug-in host has it.
pub trait Matcher {
    /// Which strategy, with its parameters and where it ran.
    fn stamp(&self) -> StrategyStamp;

    /// Answers lanes against a reference set: one answer a lane, in the order asked.
    ///
    /// # Errors
    /// When the strategy can't be used at all; a failure of one lane is its answer.
    fn answer(
        &mut self,
        set: &message::ReferenceSet,
        request: &message::MatchRequest,
    ) -> Result<Vec<message::LaneAnswer>, Failure>;
}

/// Sheets that are judged by the same reference set.
struct Batch<'a> {
    kept: Rc<KeptMethod>,
    method: Method,
    usable: bool,
    sheets: Vec<&'a KeptSheet>,
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
    identify_beside(library, dyes, matcher, request, &papers)
}

/// The same for whoever has the papers of the sheets' sessions at hand.
pub(crate) fn identify_beside(
    library: &Library,
    dyes: &DyeRegister,
    matcher: &mut dyn Matcher,
    request: IdentifyRequest<'_>,
    papers: &SessionPapers,
) -> Result<Vec<Identification>, Failure> {
    let mut shelf = Shelf::new(library);
    let mut batches: BTreeMap<(String, bool), Batch<'_>> = BTreeMap::new();
    for sheet in request.sheets {
        let bound = MethodReference::exact(&sheet.method_id, &sheet.method_version);
        let kept = method_for(&mut shelf, &sheet.id, &bound.to_string(), request.leave())?;
        // A version withdrawn before the sheet came in never was valid for it; one withdrawn
        // later gives the answer it gave then.
        let usable = sheet.state_when_bound != MethodState::Withdrawn;
        let batch = match batches.entry((kept.name(), usable)) {
            Entry::Occupied(there) => there.into_mut(),
            Entry::Vacant(free) => {
                let method = kept.method()?;
                free.insert(Batch {
                    kept,
                    method,
                    usable,
                    sheets: Vec::new(),
                })
            }
        };
        batch.sheets.push(sheet);
    }
    let mut found: BTreeMap<String, Identification> = BTreeMap::new();
    for batch in batches.values() {
        for identification in answer_batch(library, dyes, matcher, batch, request, papers)? {
            found.insert(identification.sheet.clone(), identification);
        }
    }
    // In the order asked.
    Ok(request
        .sheets
        .iter()
        .filter_map(|sheet| found.remove(&sheet.id))
        .collect())
}

/// Method versions, each looked up once.
struct Shelf<'a> {
    library: &'a Library,
    found: BTreeMap<String, Rc<KeptMethod>>,
}

impl<'a> Shelf<'a> {
    fn new(library: &'a Library) -> Self {
        Self {
            library,
            found: BTreeMap::new(),
        }
    }

    fn resolve(&mut self, reference: &str) -> Result<Rc<KeptMethod>, Failure> {
        if let Some(kept) = self.found.get(reference) {
            return Ok(Rc::clone(kept));
        }
        let kept = Rc::new(resolve_method(self.library, reference)?);
        self.found.insert(reference.to_owned(), Rc::clone(&kept));
        Ok(kept)
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
    let documents = identifications
        .par_iter()
        .map(stored_form)
        .collect::<Result<Vec<_>, _>>()?;
    let change = library.change(stamp.clone())?;
    for (identification, (document, digest)) in identifications.iter().zip(&documents) {
        change.keep_identification(identification, document, digest)?;
    }
    change.commit()?;
    Ok(())
}

/// An identification as it is stored. What the entry checks say is worked out again whenever it is
/// shown: it may change when another sheet of the session comes in, and the identity does not.
fn stored_form(identification: &Identification) -> Result<(String, Digest), Failure> {
    let mut document = serde_json::to_value(identification).map_err(|error| {
        Failure::new(
            FailureClass::Bug,
            "identification.not-writable",
            error.to_string(),
        )
    })?;
    if let Some(checks) = document.get_mut("checks") {
        *checks = Value::Array(Vec::new());
    }
    let document = canonical_json(&document);
    let digest = digest_bytes(document.as_bytes());
    Ok((document, digest))
}

/// Another method version than the bound one, and leave to match across major versions.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Leave<'a> {
    pub(crate) method: Option<&'a str>,
    pub(crate) across_versions: Option<&'a str>,
}

impl<'a> IdentifyRequest<'a> {
    fn leave(&self) -> Leave<'a> {
        Leave {
            method: self.method,
            across_versions: self.across_versions,
        }
    }
}

/// Refuses before anything is worked out what would be refused for one of the sheets, each given
/// with the version it is bound to, `id@version`.
///
/// # Errors
/// Matching across versions without leave, and what the library says.
pub(crate) fn all_may_be_matched<'a>(
    library: &Library,
    sheets: impl Iterator<Item = (&'a str, &'a str)>,
    leave: Leave<'_>,
) -> Result<(), Failure> {
    let mut shelf = Shelf::new(library);
    let mut seen = BTreeSet::new();
    for (sheet, bound) in sheets {
        if seen.insert(bound) {
            method_for(&mut shelf, sheet, bound, leave)?;
        }
    }
    Ok(())
}

fn method_for(
    shelf: &mut Shelf<'_>,
    sheet: &str,
    bound: &str,
    leave: Leave<'_>,
) -> Result<Rc<KeptMethod>, Failure> {
    let bound = shelf.resolve(bound)?;
    let Some(wanted) = leave.method else {
        return Ok(bound);
    };
    let wanted = shelf.resolve(wanted)?;
    let comparable = wanted.id == bound.id && wanted.version.major == bound.version.major;
    if comparable {
        return Ok(wanted);
    }
    if let Some(reason) = leave.across_versions {
        needs_reason("identify.no-reason", reason)?;
        return Ok(wanted);
    }
    Err(Failure::refused(
        "method.not-comparable",
        format!(
            "sheet `{sheet}` was run by `{}`; its Rf can't be compared with `{}`",
            bound.name(),
            wanted.name()
        ),
    )
    .detail(if wanted.id == bound.id {
        "a new major version says that the method changed in a way that moves Rf".to_owned()
    } else {
        "they are two methods".to_owned()
    })
    .hint(format!(
        "leave out --method to use `{}`, the version it was run by",
        bound.name()
    )))
}

fn answer_batch(
    library: &Library,
    dyes: &DyeRegister,
    matcher: &mut dyn Matcher,
    batch: &Batch<'_>,
    request: IdentifyRequest<'_>,
    papers: &SessionPapers,
) -> Result<Vec<Identification>, Failure> {
    let (method, version) = (&batch.method, batch.version());
    let set = reference_set(&batch.kept, method, dyes, batch.usable);
    let evaluated: Vec<EvaluatedSheet> = batch
        .sheets
        .par_iter()
        .map(|kept| evaluate(&kept.sheet, method, dyes))
        .collect();
    let mut answers: BTreeMap<String, message::LaneAnswer> = matcher
        .answer(&set, &questions(&batch.sheets, &evaluated))?
        .into_iter()
        .map(|answer| (answer.id().to_owned(), answer))
        .collect();
    let strategy = matcher.stamp();
    let mut lanes: Vec<Vec<LaneIdentity>> = Vec::with_capacity(batch.sheets.len());
    for (number, evaluated) in evaluated.iter().enumerate() {
        let of_sheet = evaluated.lanes.iter().enumerate();
        lanes.push(
            of_sheet
                .map(|(position, lane)| {
                    lane_identity(lane, answers.remove(&question_id(number, position)))
                })
                .collect(),
        );
    }
    let corrected = batch
        .sheets
        .iter()
        .map(|kept| match kept.kind {
            RevisionKind::Amended => amendments(library, &kept.id),
            _ => Ok(vec![]),
        })
        .collect::<Result<Vec<_>, _>>()?;
    Ok(batch
        .sheets
        .par_iter()
        .zip(&evaluated)
        .zip(corrected)
        .zip(lanes)
        .map(|(((kept, evaluated), corrected), lanes)| Identification {
            sheet: kept.id.clone(),
            sheet_revision: kept.revision,
            sheet_digest: kept.digest.clone(),
            amended: kept.kind == RevisionKind::Amended,
            method: version.clone(),
            strategy: strategy.clone(),
            lanes,
            notes: notes(kept, &version, method, request),
            checks: of_what_stands(
                check_sheet(kept, evaluated, method, dyes, papers),
                &corrected,
            ),
        })
        .collect())
}

impl Batch<'_> {
    fn version(&self) -> MethodStamp {
        MethodStamp {
            id: self.kept.id.clone(),
            version: self.kept.version.clone(),
            digest: self.kept.digest.clone(),
        }
    }
}

/// What is known of the sheets' papers, and every lane of them as a question.
fn questions(sheets: &[&KeptSheet], evaluated: &[EvaluatedSheet]) -> message::MatchRequest {
    let mut asked = message::MatchRequest::default();
    for (number, (kept, evaluated)) in sheets.iter().zip(evaluated).enumerate() {
        let session = kept.sheet.session();
        asked
            .sheets
            .push(known_sheet(&kept.id, &session, evaluated));
        for (position, lane) in evaluated.lanes.iter().enumerate() {
            let id = question_id(number, position);
            asked.lanes.push(question(&id, &kept.id, &session, lane));
        }
    }
    asked
}

fn question_id(sheet: usize, lane: usize) -> String {
    format!("{sheet}/{lane}")
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

/// A strategy's answer for a lane as an identity.
pub(crate) fn lane_identity(
    lane: &EvaluatedLane,
    answer: Option<message::LaneAnswer>,
) -> LaneIdentity {
    let mut out = LaneIdentity {
        paper: lane.paper.clone(),
        lane: lane.lane,
        label: lane.label.clone(),
        role: lane.role,
        dyes: Vec::new(),
        spots: Vec::new(),
        failed: None,
    };
    match answer {
        Some(message::LaneAnswer::Answered { answer, .. }) => {
            out.dyes = answer
                .dyes
                .into_iter()
                .map(|d| DyeInLane {
                    dye: d.dye,
                    probability: d.probability,
                })
                .collect();
            out.spots = lane
                .spots
                .iter()
                .zip(answer.spots)
                .map(|(spot, a)| identity(spot, a))
                .collect();
        }
        Some(message::LaneAnswer::Failed { error, .. }) => out.failed = Some(error),
        None => out.failed = Some("the strategy gave no answer for this lane".to_owned()),
    }
    if let Some(why) = &out.failed {
        out.spots = lane
            .spots
            .iter()
            .map(|spot| not_judged(spot, why))
            .collect();
    }
    out
}

fn identity(spot: &dyebook_checks::EvaluatedSpot, answer: message::SpotAnswer) -> SpotIdentity {
    SpotIdentity {
        spot: spot.spot,
        rf: spot.rf,
        u: spot.u,
        decision: decision(answer.decision),
        candidates: answer.candidates.into_iter().map(candidate).collect(),
        reason: answer.reason,
    }
}

fn not_judged(spot: &dyebook_checks::EvaluatedSpot, why: &str) -> SpotIdentity {
    SpotIdentity {
        spot: spot.spot,
        rf: spot.rf,
        u: spot.u,
        decision: Decision::NotEvaluable,
        candidates: Vec::new(),
        reason: format!("The strategy failed on this lane: {why}"),
    }
}

fn candidate(candidate: message::Candidate) -> Candidate {
    Candidate {
        dyes: candidate.dyes,
        probability: candidate.probability,
        rf_difference: candidate.rf_difference,
        expected: Range {
            low: candidate.expected.low,
            high: candidate.expected.high,
        },
        colour: match candidate.colour {
            message::ColourVerdict::Agrees => ColourVerdict::Agrees,
            message::ColourVerdict::Disagrees => ColourVerdict::Disagrees,
            message::ColourVerdict::NotJudged => ColourVerdict::NotJudged,
        },
    }
}

fn decision(decision: message::Decision) -> Decision {
    match decision {
        message::Decision::Identified => Decision::Identified,
        message::Decision::Indistinguishable => Decision::Indistinguishable,
        message::Decision::NotInReferenceSet => Decision::NotInReferenceSet,
        message::Decision::NotEvaluable => Decision::NotEvaluable,
        message::Decision::NoValidReference => Decision::NoValidReference,
    }
}
