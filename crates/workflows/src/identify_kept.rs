//! Identities of any number of kept sheets: some at a time, each lot stored while the next is judged.

use crate::failure::Failure;
use crate::find_sheet::find_sheet;
use crate::identify::{IdentifyRequest, judge_batches, keep_stored};
use crate::identify_batches::{Batch, Leave, all_may_be_matched, batches};
use crate::matcher::Matcher;
use crate::sheet_evidence::SessionPapers;
use crate::stored_identification::{StoredStamps, stored_form};
use crate::watch::{Progress, Watch, go_on};
use dyebook_documents::{DyeRegister, Identification};
use dyebook_library::{KeptSheet, Library, NewIdentification, Stamp};
use rayon::in_place_scope;
use std::collections::{BTreeSet, HashMap};

/// Sheets that are in memory at a time, the rest of their sessions apart.
const SHEETS_AT_A_TIME: usize = 512;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct KeptRequest<'a> {
    /// The sheets' identifiers, in full.
    pub sheets: &'a [String],
    /// Another method version than the one each sheet is bound to.
    pub method: Option<&'a str>,
    /// Leave to match across major versions, with the reason.
    pub across_versions: Option<&'a str>,
}

/// Is told identifications as soon as they are there, on whatever thread and in whatever order that
/// is.
pub type Told<'a> = &'a (dyn Fn(Identification) + Sync);

/// Identifies the lanes of sheets and stores what it finds.
///
/// # Errors
/// Matching across versions without leave, a strategy that can't be used, what the library says,
/// and a wish to stop; what was stored by then stays.
pub fn identify_kept(
    library: &mut Library,
    dyes: &DyeRegister,
    matcher: &mut dyn Matcher,
    request: KeptRequest<'_>,
    stamp: &Stamp,
    watch: &dyn Watch,
    told: Told<'_>,
) -> Result<(), Failure> {
    nothing_is_refused_later(library, request)?;
    let of = request.sheets.len();
    let mut lots = request.sheets.chunks(SHEETS_AT_A_TIME);
    let mut read = lots.next().map(|ids| Lot::read(library, ids, request));
    let mut ready: Option<Vec<NewIdentification>> = None;
    let mut done = 0;
    // While some sheets are judged on all cores, the ones before are stored and the next are read.
    while read.is_some() || ready.is_some() {
        let progress = Progress {
            doing: "identifying sheets",
            done,
            of,
        };
        go_on(watch, progress, || {
            format!("stopped by you; the identities of {done} of {of} sheets are stored")
        })?;
        let lot = read.take().transpose()?;
        let mut judged = None;
        in_place_scope(|scope| {
            if let Some(lot) = lot {
                let (judged, matcher) = (&mut judged, &mut *matcher);
                scope.spawn(move |_| *judged = Some(lot.judge(dyes, matcher, told)));
            }
            if let Some(found) = ready.take() {
                keep_stored(library, &found, stamp)?;
                done += found.len();
            }
            read = lots.next().map(|ids| Lot::read(library, ids, request));
            Ok::<(), Failure>(())
        })?;
        ready = judged.transpose()?;
    }
    Ok(())
}

/// Sheets as they are kept, with all that the library has to say about them.
struct Lot<'a> {
    sheets: Vec<KeptSheet>,
    papers: SessionPapers,
    batches: Vec<Batch>,
    request: KeptRequest<'a>,
}

impl<'a> Lot<'a> {
    fn read(library: &Library, ids: &[String], request: KeptRequest<'a>) -> Result<Self, Failure> {
        let (sheets, papers) = with_sessions(library, ids)?;
        let batches = batches(library, request.about(&sheets))?;
        Ok(Self {
            sheets,
            papers,
            batches,
            request,
        })
    }

    fn judge(
        self,
        dyes: &DyeRegister,
        matcher: &mut dyn Matcher,
        told: Told<'_>,
    ) -> Result<Vec<NewIdentification>, Failure> {
        let request = self.request.about(&self.sheets);
        let finish = |found, stamps: &StoredStamps| {
            let stored = stored_form(&found, stamps);
            told(found);
            stored
        };
        judge_batches(dyes, matcher, request, &self.batches, &self.papers, &finish)
    }
}

impl<'a> KeptRequest<'a> {
    fn about<'s>(self, sheets: &'s [KeptSheet]) -> IdentifyRequest<'s>
    where
        'a: 's,
    {
        IdentifyRequest {
            sheets,
            method: self.method,
            across_versions: self.across_versions,
        }
    }
}

/// What is refused for any of the sheets is refused before the first of them is stored.
fn nothing_is_refused_later(library: &Library, request: KeptRequest<'_>) -> Result<(), Failure> {
    if request.method.is_none() {
        return Ok(());
    }
    let asked: BTreeSet<&String> = request.sheets.iter().collect();
    let lines = library.sheet_lines()?;
    let bound = lines.iter().filter(|line| asked.contains(&line.id));
    let leave = Leave {
        method: request.method,
        across_versions: request.across_versions,
    };
    all_may_be_matched(library, bound.map(|line| (&*line.id, &*line.method)), leave)
}

/// The sheets, and the papers of all sheets of their sessions; every sheet is read once.
fn with_sessions(
    library: &Library,
    ids: &[String],
) -> Result<(Vec<KeptSheet>, SessionPapers), Failure> {
    let mut sessions = BTreeSet::new();
    for id in ids {
        sessions.extend(library.session_of(id)?);
    }
    let mut papers = SessionPapers::default();
    let mut read: HashMap<String, KeptSheet> = HashMap::new();
    for session in sessions {
        for kept in library.session_sheets(&session)? {
            papers.add(&kept.id, &kept.sheet);
            read.insert(kept.id.clone(), kept);
        }
    }
    let sheets = ids
        .iter()
        .map(|id| read.remove(id).map_or_else(|| find_sheet(library, id), Ok))
        .collect::<Result<_, _>>()?;
    Ok((sheets, papers))
}
