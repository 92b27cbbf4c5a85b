//! What is seen of sheets that were just kept, while they are at hand: the findings of the entry
//! checks and, where asked for, the identities.

use crate::failure::Failure;
use crate::identify_kept::Told;
use crate::import_bindings::Bound;
use crate::judge::{JudgedBy, SheetInQuestion, judge};
use crate::matcher::Matcher;
use crate::sheet_evidence::{TakenIn, check_taken_in};
use crate::stored_identification::stored_form;
use dyebook_checks::{EvaluatedSheet, KnownPaper, evaluate};
use dyebook_documents::{Check, Digest, DyeRegister, MethodState, Sheet};
use dyebook_library::{NewIdentification, RevisionKind};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The wish to find the dyes of sheets while they are taken in.
#[expect(missing_debug_implementations, reason = "a function can't be shown")]
pub struct Identifying<'a> {
    /// By which strategy.
    pub matcher: &'a mut dyn Matcher,
    /// Who is told; what is told is kept when the import is.
    pub told: Told<'a>,
}

impl Identifying<'_> {
    /// The same wish for some more sheets.
    pub(crate) fn again(&mut self) -> Identifying<'_> {
        Identifying {
            matcher: self.matcher,
            told: self.told,
        }
    }
}

/// Sheets that were just kept, by session.
#[derive(Debug)]
pub(crate) struct KeptLot {
    /// The day.
    pub(crate) on: Date,
    pub(crate) sessions: Vec<KeptSession>,
}

/// Sheets of one session.
#[derive(Debug)]
pub(crate) struct KeptSession {
    /// Its name, by section and day.
    pub(crate) name: String,
    pub(crate) sheets: Vec<KeptNow>,
    /// Whether the session has no others, and all of them are new: they can be checked now.
    pub(crate) whole: bool,
}

/// A sheet that was just kept, still at hand.
#[derive(Debug)]
pub(crate) struct KeptNow {
    /// Its place in the report.
    pub(crate) place: usize,
    pub(crate) id: String,
    pub(crate) sheet: Sheet,
    pub(crate) digest: Digest,
    pub(crate) bound: Arc<Bound>,
    /// The revision that was made; none where nothing of the sheet was new.
    pub(crate) revision: Option<(u32, RevisionKind)>,
}

/// What was seen of a sheet.
#[derive(Debug)]
pub(crate) struct Seen {
    /// The sheet's place in the report.
    pub(crate) place: usize,
    /// Where its session is whole.
    pub(crate) checks: Option<Vec<Check>>,
    /// Where asked for.
    pub(crate) identity: Option<NewIdentification>,
}

impl KeptLot {
    /// Looks at the sheets: at all that can be checked now or, for identities, at all that are new.
    ///
    /// # Errors
    /// A strategy that can't be used.
    pub(crate) fn look_over(
        &self,
        dyes: &DyeRegister,
        identifying: Option<Identifying<'_>>,
    ) -> Result<Vec<Seen>, Failure> {
        let papers: Vec<Option<Vec<KnownPaper>>> = (self.sessions.par_iter())
            .map(|session| session.whole.then(|| session.papers()))
            .collect();
        let sessions = self.sessions.iter().zip(&papers);
        let sheets = sessions.flat_map(|(session, papers)| {
            let at_hand = |kept| AtHand {
                kept,
                session: &session.name,
                papers: papers.as_deref(),
                on: self.on,
            };
            session.sheets.iter().map(at_hand)
        });
        if let Some(mut wish) = identifying {
            return identified(sheets, dyes, &mut wish);
        }
        let whole: Vec<AtHand<'_>> = sheets.filter(|one| one.papers.is_some()).collect();
        Ok(whole.par_iter().map(|one| one.checked(dyes)).collect())
    }
}

impl KeptSession {
    fn papers(&self) -> Vec<KnownPaper> {
        let sheets = self.sheets.iter();
        sheets
            .flat_map(|kept| KnownPaper::of_sheet(&kept.id, &kept.sheet))
            .collect()
    }
}

fn identified<'a>(
    sheets: impl Iterator<Item = AtHand<'a>>,
    dyes: &DyeRegister,
    wish: &mut Identifying<'_>,
) -> Result<Vec<Seen>, Failure> {
    let mut batches: BTreeMap<&str, Vec<AtHand<'_>>> = BTreeMap::new();
    for one in sheets.filter(|one| one.kept.revision.is_some()) {
        let name = one.kept.bound.name.as_str();
        batches.entry(name).or_default().push(one);
    }
    let mut seen = Vec::new();
    for batch in batches.values() {
        let Some(first) = batch.first() else { continue };
        let bound = &first.kept.bound;
        let by = JudgedBy {
            kept: &bound.kept,
            method: &bound.method,
            usable: bound.kept.state != MethodState::Withdrawn,
            across_versions: None,
        };
        let lanes = batch.iter().map(|one| one.kept.sheet.lanes.len()).sum();
        seen.extend(judge(
            wish.matcher,
            dyes,
            &by,
            batch,
            lanes,
            |one| one.in_question(dyes),
            |one, evaluated, found, stamps| {
                let stored = stored_form(&found, stamps);
                (wish.told)(found);
                Seen {
                    identity: Some(stored),
                    ..one.seen(evaluated, dyes)
                }
            },
        )?);
    }
    Ok(seen)
}

/// A sheet with the papers of its session, where that is whole.
struct AtHand<'a> {
    kept: &'a KeptNow,
    session: &'a str,
    papers: Option<&'a [KnownPaper]>,
    on: Date,
}

impl<'a> AtHand<'a> {
    fn evaluated(&self, dyes: &DyeRegister) -> EvaluatedSheet {
        evaluate(&self.kept.sheet, &self.kept.bound.method, dyes)
    }

    fn checked(&self, dyes: &DyeRegister) -> Seen {
        self.seen(&self.evaluated(dyes), dyes)
    }

    fn seen(&self, evaluated: &EvaluatedSheet, dyes: &DyeRegister) -> Seen {
        let checks = |papers| self.checks(papers, evaluated, dyes);
        Seen {
            place: self.kept.place,
            checks: self.papers.map(checks),
            identity: None,
        }
    }

    fn checks(
        &self,
        papers: &[KnownPaper],
        evaluated: &EvaluatedSheet,
        dyes: &DyeRegister,
    ) -> Vec<Check> {
        let (kept, bound) = (self.kept, &self.kept.bound);
        let (own, others): (Vec<&KnownPaper>, Vec<&KnownPaper>) =
            papers.iter().partition(|paper| paper.sheet == kept.id);
        let taken = TakenIn {
            sheet: &kept.sheet,
            state_when_bound: bound.kept.state,
            on: self.on,
            own_papers: &own,
            other_papers: &others,
        };
        check_taken_in(taken, evaluated, &bound.method, dyes)
    }

    fn in_question(&self, dyes: &DyeRegister) -> SheetInQuestion<'a> {
        let kept = self.kept;
        let (revision, kind) = kept.revision.unwrap_or((1, RevisionKind::Imported));
        SheetInQuestion {
            id: &kept.id,
            revision,
            digest: &kept.digest,
            kind,
            bound: (&kept.bound.kept.id, &kept.bound.kept.version),
            session: self.session.to_owned(),
            evaluated: self.evaluated(dyes),
        }
    }
}
