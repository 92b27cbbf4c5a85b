//! Identities: which dyes are in the lanes of kept sheets, with everything needed to get the same
//! answer again.

use crate::failure::{Failure, FailureClass};
use crate::match_request::{known_sheet, lane as question, reference_set};
use crate::methods::needs_reason;
use crate::resolve_method::resolve_method;
use crate::sheet_amend::{amendments, of_what_stands};
use crate::sheet_evidence::{BoundSheet, SessionPapers, check_sheet, utc_day};
use dyebook_checks::{EvaluatedLane, EvaluatedSheet, evaluate};
use dyebook_documents::{
    Candidate, ColourVerdict, Decision, DyeInLane, DyeRegister, Identification, LaneIdentity,
    Method, MethodReference, MethodStamp, MethodState, Range, SpotIdentity, StrategyStamp,
};
use dyebook_library::{KeptMethod, KeptSheet, Library, RevisionKind, Stamp};
use dyebook_plugin::strategy as message;
use rayon::prelude::*;
use std::collections::BTreeMap;

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
    kept: KeptMethod,
    method: Method,
    usable: bool,
    sheets: Vec<(&'a KeptSheet, EvaluatedSheet)>,
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
    let mut batches: BTreeMap<(String, bool), Batch<'_>> = BTreeMap::new();
    for sheet in request.sheets {
        let kept = method_for(library, sheet, request)?;
        // A version withdrawn before the sheet came in never was valid for it; one withdrawn
        // later gives the answer it gave then.
        let usable = sheet.state_when_bound != MethodState::Withdrawn;
        let batch = match batches.entry((kept.name(), usable)) {
            std::collections::btree_map::Entry::Occupied(there) => there.into_mut(),
            std::collections::btree_map::Entry::Vacant(free) => {
                let method = kept.method()?;
                free.insert(Batch {
                    kept,
                    method,
                    usable,
                    sheets: Vec::new(),
                })
            }
        };
        let evaluated = evaluate(&sheet.sheet, &batch.method, dyes);
        batch.sheets.push((sheet, evaluated));
    }
    let mut found: BTreeMap<String, Identification> = BTreeMap::new();
    for batch in batches.values() {
        for identification in answer_batch(library, dyes, matcher, batch, request)? {
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

/// Stores identifications; the same one is stored once.
///
/// # Errors
/// What the library says.
pub fn keep_identifications(
    library: &mut Library,
    identifications: &[Identification],
    stamp: &Stamp,
) -> Result<(), Failure> {
    let change = library.change(stamp.clone())?;
    for identification in identifications {
        // What the entry checks say is worked out again whenever it is shown: it may change when
        // another sheet of the session comes in, and the identity does not.
        let stored = Identification {
            checks: Vec::new(),
            ..identification.clone()
        };
        let document = serde_json::to_value(&stored).map_err(|error| {
            Failure::new(
                FailureClass::Bug,
                "identification.not-writable",
                error.to_string(),
            )
        })?;
        change.keep_identification(identification, &document)?;
    }
    change.commit()?;
    Ok(())
}

fn method_for(
    library: &Library,
    sheet: &KeptSheet,
    request: IdentifyRequest<'_>,
) -> Result<KeptMethod, Failure> {
    let bound = MethodReference::exact(&sheet.method_id, &sheet.method_version);
    let bound = resolve_method(library, &bound.to_string())?;
    let Some(wanted) = request.method else {
        return Ok(bound);
    };
    let wanted = resolve_method(library, wanted)?;
    let comparable = wanted.id == bound.id && wanted.version.major == bound.version.major;
    if comparable {
        return Ok(wanted);
    }
    if let Some(reason) = request.across_versions {
        needs_reason("identify.no-reason", reason)?;
        return Ok(wanted);
    }
    Err(Failure::refused(
        "method.not-comparable",
        format!(
            "sheet `{}` was run by `{}`; its Rf can't be compared with `{}`",
            sheet.id,
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
) -> Result<Vec<Identification>, Failure> {
    let set = reference_set(&batch.kept, &batch.method, dyes, batch.usable);
    let mut asked = message::MatchRequest::default();
    for (number, (kept, evaluated)) in batch.sheets.iter().enumerate() {
        let session = kept.sheet.session();
        asked
            .sheets
            .push(known_sheet(&kept.id, &session, evaluated));
        for (position, lane) in evaluated.lanes.iter().enumerate() {
            asked.lanes.push(question(
                &question_id(number, position),
                &kept.id,
                &session,
                lane,
            ));
        }
    }
    let answers = matcher.answer(&set, &asked)?;
    let mut answers: BTreeMap<String, message::LaneAnswer> = answers
        .into_iter()
        .map(|answer| (answer.id().to_owned(), answer))
        .collect();
    let sessions = batch.sheets.iter().map(|(kept, _)| kept.sheet.session());
    let papers = SessionPapers::kept(library, sessions, &|_| false)?;
    let strategy = matcher.stamp();
    let mut lanes: Vec<Vec<LaneIdentity>> = Vec::with_capacity(batch.sheets.len());
    for (number, (_, evaluated)) in batch.sheets.iter().enumerate() {
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
        .map(|(kept, _)| match kept.kind {
            RevisionKind::Amended => amendments(library, &kept.id),
            _ => Ok(vec![]),
        })
        .collect::<Result<Vec<_>, _>>()?;
    Ok(batch
        .sheets
        .par_iter()
        .zip(corrected)
        .zip(lanes)
        .map(|(((kept, _), corrected), lanes)| Identification {
            sheet: kept.id.clone(),
            sheet_revision: kept.revision,
            sheet_digest: kept.digest.clone(),
            amended: kept.kind == RevisionKind::Amended,
            method: MethodStamp {
                id: batch.kept.id.clone(),
                version: batch.kept.version.clone(),
                digest: batch.kept.digest.clone(),
            },
            strategy: strategy.clone(),
            lanes,
            notes: notes(kept, batch, request),
            checks: of_what_stands(checks_of(kept, batch, dyes, &papers), &corrected),
        })
        .collect())
}

fn question_id(sheet: usize, lane: usize) -> String {
    format!("{sheet}/{lane}")
}

fn checks_of(
    kept: &KeptSheet,
    batch: &Batch<'_>,
    dyes: &DyeRegister,
    papers: &SessionPapers,
) -> Vec<dyebook_documents::Check> {
    let bound = BoundSheet {
        sheet: &kept.sheet,
        method: &batch.method,
        method_state: kept.state_when_bound,
    };
    // The day of the import, so that the answer is the same on any later day.
    let day = utc_day(kept.at.parse().unwrap_or_default());
    check_sheet(&kept.id, bound, dyes, papers, day)
}

fn notes(kept: &KeptSheet, batch: &Batch<'_>, request: IdentifyRequest<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    if kept.kind == RevisionKind::Amended {
        notes.push(format!(
            "rests on an amended sheet: revision {} holds corrections accepted by a person",
            kept.revision
        ));
    }
    let bound = format!("{}@{}", kept.method_id, kept.method_version);
    if bound != batch.kept.name() {
        let comparable = kept.method_id == batch.kept.id
            && kept.method_version.major == batch.kept.version.major;
        notes.push(match request.across_versions.filter(|_| !comparable) {
            Some(reason) => format!(
                "MATCHED ACROSS VERSIONS: run by `{bound}`, matched with `{}`, whose Rf are not \
                 comparable; reason given: {reason}",
                batch.kept.name()
            ),
            None => format!(
                "run by `{bound}`, matched with `{}` of the same major version, whose Rf are \
                 comparable by the version rules",
                batch.kept.name()
            ),
        });
    }
    if batch.method.measuring.distance_sd_cm.is_none() {
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
