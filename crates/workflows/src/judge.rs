//! Sheets with Rf, put to a strategy: an identification each.

use crate::failure::Failure;
use crate::lane_identity::lane_identity;
use crate::match_request::{known_sheet, lane as question, reference_set};
use crate::matcher::{Instance, Matcher};
use crate::stored_identification::StoredStamps;
use compact_str::{CompactStringExt, ToCompactString};
use dyebook_checks::EvaluatedSheet;
use dyebook_documents::{Digest, DyeRegister, Identification, Method, MethodStamp, StrategyStamp};
use dyebook_library::{KeptMethod, RevisionKind};
use dyebook_plugin::strategy as message;
use rayon::prelude::*;
use semver::Version;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Sheets that an instance is asked about at a time: few enough to stay in a core's cache until
/// they are done, with lanes for a call or two.
const SHEETS_A_QUESTION: usize = 5;

/// A sheet under question.
pub(crate) struct SheetInQuestion<'a> {
    pub(crate) id: &'a str,
    pub(crate) revision: u32,
    pub(crate) digest: &'a Digest,
    pub(crate) kind: RevisionKind,
    /// The method version it is bound to.
    pub(crate) bound: (&'a str, &'a Version),
    pub(crate) session: String,
    pub(crate) evaluated: EvaluatedSheet,
}

/// The reference set that sheets are judged by.
pub(crate) struct JudgedBy<'a> {
    pub(crate) kept: &'a KeptMethod,
    pub(crate) method: &'a Method,
    /// Whether any of it may be used.
    pub(crate) usable: bool,
    /// Why sheets of another major version are matched with it all the same.
    pub(crate) across_versions: Option<&'a str>,
}

/// Judges things that become sheets under question; `finish` is handed each with its
/// identification, without findings of the entry checks, while both are at hand, and with the
/// stamps for what is stored.
///
/// # Errors
/// A strategy that can't be used.
pub(crate) fn judge<S: Sync, T: Send>(
    matcher: &mut dyn Matcher,
    dyes: &DyeRegister,
    by: &JudgedBy<'_>,
    things: &[S],
    lanes: usize,
    in_question: impl for<'a> Fn(&'a S) -> SheetInQuestion<'a> + Sync,
    finish: impl Fn(&S, &EvaluatedSheet, Identification, &StoredStamps) -> T + Sync,
) -> Result<Vec<T>, Failure> {
    matcher.prepare(&reference_set(by.kept, by.method, dyes, by.usable), lanes)?;
    let stamps = Stamps {
        method: MethodStamp {
            id: by.kept.id.clone(),
            version: by.kept.version.clone(),
            digest: by.kept.digest.clone(),
        },
        strategy: Arc::new(matcher.stamp()),
    };
    let stored_stamps = StoredStamps::new(&stamps.method, &stamps.strategy);
    // Instances take what is next whenever they are free, so that no core waits for another.
    let next = AtomicUsize::new(0);
    let questions: Vec<&[S]> = things.chunks(SHEETS_A_QUESTION).collect();
    let ask = |instance: &mut dyn Instance| {
        let mut judged: Vec<(usize, Vec<T>)> = Vec::new();
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            let Some(some) = questions.get(number) else {
                return Ok(judged);
            };
            let sheets: Vec<SheetInQuestion<'_>> = some.iter().map(&in_question).collect();
            let found = identifications(instance, &sheets, by, &stamps)?;
            let found = some.iter().zip(&sheets).zip(found);
            let finished = found.map(|((one, sheet), identification)| {
                finish(one, &sheet.evaluated, identification, &stored_stamps)
            });
            judged.push((number, finished.collect()));
        }
    };
    let judged: Vec<Vec<(usize, Vec<T>)>> = matcher
        .instances()
        .into_par_iter()
        .map(ask)
        .collect::<Result<_, Failure>>()?;
    let mut judged: Vec<(usize, Vec<T>)> = judged.into_iter().flatten().collect();
    judged.sort_unstable_by_key(|(number, _)| *number);
    Ok(judged.into_iter().flat_map(|(_, some)| some).collect())
}

struct Stamps {
    method: MethodStamp,
    strategy: Arc<StrategyStamp>,
}

fn identifications(
    instance: &mut dyn Instance,
    sheets: &[SheetInQuestion<'_>],
    by: &JudgedBy<'_>,
    stamps: &Stamps,
) -> Result<Vec<Identification>, Failure> {
    let questions = questions(sheets);
    let mut answers = instance
        .answer(&questions.lanes, &questions.sheets)?
        .into_iter();
    let found = sheets.iter().map(|sheet| Identification {
        sheet: sheet.id.to_owned(),
        sheet_revision: sheet.revision,
        sheet_digest: sheet.digest.clone(),
        amended: sheet.kind == RevisionKind::Amended,
        method: stamps.method.clone(),
        strategy: Arc::clone(&stamps.strategy),
        lanes: (sheet.evaluated.lanes.iter())
            .map(|lane| lane_identity(lane, answers.next()))
            .collect(),
        notes: notes(sheet, by),
        checks: Vec::new(),
    });
    Ok(found.collect())
}

/// What is known of the sheets' papers, and every lane of them as a question.
fn questions(sheets: &[SheetInQuestion<'_>]) -> message::MatchRequest {
    let mut asked = message::MatchRequest::default();
    for (number, sheet) in sheets.iter().enumerate() {
        let number = number.to_compact_string();
        asked
            .sheets
            .push(known_sheet(sheet.id, &sheet.session, &sheet.evaluated));
        for (position, lane) in sheet.evaluated.lanes.iter().enumerate() {
            let id = [&*number, "/", &*position.to_compact_string()].concat_compact();
            asked
                .lanes
                .push(question(id, sheet.id, &sheet.session, lane));
        }
    }
    asked
}

fn notes(sheet: &SheetInQuestion<'_>, by: &JudgedBy<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    if sheet.kind == RevisionKind::Amended {
        notes.push(format!(
            "rests on an amended sheet: revision {} holds corrections accepted by a person",
            sheet.revision
        ));
    }
    let (id, version) = sheet.bound;
    let matched = by.kept;
    if (id, version) != (&matched.id, &matched.version) {
        let bound = format!("{id}@{version}");
        let comparable = id == matched.id && version.major == matched.version.major;
        let matched = matched.name();
        notes.push(match by.across_versions.filter(|_| !comparable) {
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
    if by.method.measuring.distance_sd_cm.is_none() {
        notes.push(
            "the method does not say how well distances are read, so Rf stands without u"
                .to_owned(),
        );
    }
    notes
}
