//! What the entry checks see of a kept sheet.

use crate::failure::Failure;
use dyebook_checks::{Context, EvaluatedSheet, KnownPaper, run_checks};
use dyebook_documents::{Check, DyeRegister, Method, MethodState, Sheet};
use dyebook_library::{KeptSheet, Library};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// All entry checks over a sheet, with the version it is bound to in the state it had then, as of
/// the day of the import: the answer is the same on any later day.
pub(crate) fn check_sheet(
    kept: &KeptSheet,
    evaluated: &EvaluatedSheet,
    method: &Method,
    dyes: &DyeRegister,
    papers: &SessionPapers,
) -> Vec<Check> {
    let own = KnownPaper::of_sheet(&kept.id, &kept.sheet);
    let taken = TakenIn {
        sheet: &kept.sheet,
        state_when_bound: kept.state_when_bound,
        on: utc_day(kept.at.parse().unwrap_or_default()),
        own_papers: &own.iter().collect::<Vec<_>>(),
        other_papers: &papers.except(&kept.sheet.session(), &kept.id),
    };
    check_taken_in(taken, evaluated, method, dyes)
}

/// A sheet as it was taken in.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TakenIn<'a> {
    pub(crate) sheet: &'a Sheet,
    /// State of its method version then.
    pub(crate) state_when_bound: MethodState,
    /// The day.
    pub(crate) on: Date,
    /// Its papers.
    pub(crate) own_papers: &'a [&'a KnownPaper],
    /// Those of the other sheets of its session.
    pub(crate) other_papers: &'a [&'a KnownPaper],
}

/// The same for a sheet that is at hand.
pub(crate) fn check_taken_in(
    taken: TakenIn<'_>,
    evaluated: &EvaluatedSheet,
    method: &Method,
    dyes: &DyeRegister,
) -> Vec<Check> {
    run_checks(&Context {
        sheet: taken.sheet,
        evaluated,
        method,
        method_state: taken.state_when_bound,
        dyes,
        own_papers: taken.own_papers,
        known_papers: taken.other_papers,
        group_sheets: &[],
        today: taken.on,
    })
}

/// The papers of sessions, each session looked up once.
#[derive(Debug, Default)]
pub(crate) struct SessionPapers(BTreeMap<String, Vec<KnownPaper>>);

impl SessionPapers {
    /// Papers of all kept sheets of these sessions.
    pub(crate) fn kept(
        library: &Library,
        sessions: impl IntoIterator<Item = String>,
    ) -> Result<Self, Failure> {
        let mut papers = Self::default();
        for session in sessions {
            if papers.0.contains_key(&session) {
                continue;
            }
            let sheets = library.session_sheets(&session)?;
            papers.0.entry(session).or_default();
            for kept in &sheets {
                papers.add(&kept.id, &kept.sheet);
            }
        }
        Ok(papers)
    }

    /// Adds the papers of a sheet.
    pub(crate) fn add(&mut self, id: &str, sheet: &Sheet) {
        let papers = KnownPaper::of_sheet(id, sheet);
        self.0.entry(sheet.session()).or_default().extend(papers);
    }

    /// The papers of a session, those of one sheet left out.
    fn except(&self, session: &str, id: &str) -> Vec<&KnownPaper> {
        let papers = self.0.get(session).into_iter().flatten();
        papers.filter(|paper| paper.sheet != id).collect()
    }
}

/// The day of a moment, in UTC.
pub(crate) fn utc_day(moment: jiff::Timestamp) -> Date {
    jiff::tz::TimeZone::UTC.to_datetime(moment).date()
}
