//! What the entry checks and the strategies see of a kept sheet.

use crate::failure::Failure;
use dyebook_checks::{Context, KnownPaper, evaluate, run_checks};
use dyebook_documents::{Check, DyeRegister, Method, MethodState, Sheet};
use dyebook_library::Library;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// A sheet with the method version it is bound to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BoundSheet<'a> {
    pub(crate) sheet: &'a Sheet,
    pub(crate) method: &'a Method,
    pub(crate) method_state: MethodState,
}

/// All entry checks over one sheet; `others` are the papers of all sheets of its session.
pub(crate) fn check_sheet(
    id: &str,
    bound: BoundSheet<'_>,
    dyes: &DyeRegister,
    others: &SessionPapers,
    today: Date,
) -> Vec<Check> {
    let evaluated = evaluate(bound.sheet, bound.method, dyes);
    run_checks(&Context {
        sheet: bound.sheet,
        evaluated: &evaluated,
        method: bound.method,
        method_state: bound.method_state,
        dyes,
        known_papers: &others.except(&bound.sheet.session(), id),
        group_sheets: &[],
        today,
    })
}

/// The papers of sessions, each session looked up once.
#[derive(Debug, Default)]
pub(crate) struct SessionPapers(BTreeMap<String, Vec<KnownPaper>>);

impl SessionPapers {
    /// Papers of all kept sheets of these sessions, but for sheets that are about to be replaced.
    pub(crate) fn kept(
        library: &Library,
        sessions: impl IntoIterator<Item = String>,
        replaced: &dyn Fn(&str) -> bool,
    ) -> Result<Self, Failure> {
        let mut papers = Self::default();
        for session in sessions {
            if papers.0.contains_key(&session) {
                continue;
            }
            let known = library
                .session_sheets(&session)?
                .iter()
                .filter(|kept| !replaced(&kept.id))
                .flat_map(|kept| KnownPaper::of_sheet(&kept.id, &kept.sheet))
                .collect();
            papers.0.insert(session, known);
        }
        Ok(papers)
    }

    /// Adds the papers of a sheet that is not kept yet.
    pub(crate) fn add(&mut self, id: &str, sheet: &Sheet) {
        let papers = KnownPaper::of_sheet(id, sheet);
        self.0.entry(sheet.session()).or_default().extend(papers);
    }

    /// The papers of a session, those of one sheet left out.
    fn except(&self, session: &str, id: &str) -> Vec<KnownPaper> {
        let papers = self.0.get(session).into_iter().flatten();
        papers.filter(|paper| paper.sheet != id).cloned().collect()
    }
}

/// The day of a moment, in UTC.
pub(crate) fn utc_day(moment: jiff::Timestamp) -> Date {
    jiff::tz::TimeZone::UTC.to_datetime(moment).date()
}
