//! The entry checks over sheets that were just taken in, session by session, as they are kept.

use crate::failure::Failure;
use crate::import_report::ImportReport;
use crate::resolve_method::resolve_method;
use crate::sheet_amend::{amendments, of_what_stands};
use crate::sheet_evidence::{SessionPapers, check_sheet};
use crate::watch::{Progress, Watch, go_on};
use dyebook_checks::evaluate;
use dyebook_documents::{Check, DyeRegister, Method, session_name};
use dyebook_library::{KeptSheet, Library, RevisionKind};
use rayon::prelude::*;
use semver::Version;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Sheets that are in memory at a time, the rest of the last session apart.
const SHEETS_AT_A_TIME: usize = 256;

/// Fills in what the entry checks find in the sheets of these sessions.
///
/// # Errors
/// What the library says, and a wish to stop: the sheets are kept by then.
pub(crate) fn check_sessions(
    library: &Library,
    dyes: &DyeRegister,
    mut report: ImportReport,
    unchecked: &BTreeSet<String>,
    watch: &dyn Watch,
) -> Result<ImportReport, Failure> {
    let mut sessions: BTreeMap<String, HashMap<String, usize>> = BTreeMap::new();
    for (place, sheet) in report.sheets.iter().enumerate() {
        let session = session_name(sheet.section.as_deref(), sheet.date);
        if !unchecked.contains(&session) {
            continue;
        }
        sessions
            .entry(session)
            .or_default()
            .insert(sheet.id.clone(), place);
    }
    let of = sessions.values().map(HashMap::len).sum();
    let mut methods = Methods::default();
    let mut found: Vec<(usize, Vec<Check>)> = Vec::with_capacity(of);
    let mut sessions = sessions.into_iter().peekable();
    while sessions.peek().is_some() {
        let progress = Progress {
            doing: "checking sheets",
            done: found.len(),
            of,
        };
        go_on(watch, progress, || stopped(report.sheets.len()))?;
        let mut loaded = Vec::new();
        let mut sheets = 0;
        while sheets < SHEETS_AT_A_TIME
            && let Some((session, taken)) = sessions.next()
        {
            let stored = library.session_sheets(&session)?;
            for kept in stored.iter().filter(|kept| taken.contains_key(&kept.id)) {
                methods.find(library, kept)?;
            }
            sheets += stored.len();
            loaded.push((stored, taken));
        }
        found.extend(check_loaded(library, dyes, &methods, loaded)?);
    }
    for (place, checks) in found {
        report.found(place, checks);
    }
    Ok(report)
}

/// A session's sheets, and the places of those that were taken in, by id.
type Session = (Vec<KeptSheet>, HashMap<String, usize>);

fn check_loaded(
    library: &Library,
    dyes: &DyeRegister,
    methods: &Methods,
    loaded: Vec<Session>,
) -> Result<Vec<(usize, Vec<Check>)>, Failure> {
    let checked: Vec<(usize, KeptSheet, Vec<Check>)> = loaded
        .into_par_iter()
        .flat_map_iter(|(stored, taken)| {
            let mut papers = SessionPapers::default();
            for kept in &stored {
                papers.add(&kept.id, &kept.sheet);
            }
            stored.into_iter().filter_map(move |kept| {
                let place = *taken.get(&kept.id)?;
                let method = methods.of(&kept)?;
                let evaluated = evaluate(&kept.sheet, method, dyes);
                let checks = check_sheet(&kept, &evaluated, method, dyes, &papers);
                Some((place, kept, checks))
            })
        })
        .collect();
    // Handed in again with what was handed in before, and corrected by a person since.
    let amended = |(place, kept, checks): (usize, KeptSheet, Vec<Check>)| {
        Ok(match kept.kind {
            RevisionKind::Amended => {
                let corrected = amendments(library, &kept.id)?;
                (place, of_what_stands(checks, &corrected))
            }
            _ => (place, checks),
        })
    };
    checked.into_iter().map(amended).collect()
}

/// The method versions that sheets are bound to, each looked up once.
#[derive(Debug, Default)]
struct Methods(BTreeMap<(String, Version), Method>);

impl Methods {
    fn find(&mut self, library: &Library, kept: &KeptSheet) -> Result<(), Failure> {
        let name = (kept.method_id.clone(), kept.method_version.clone());
        if let Entry::Vacant(free) = self.0.entry(name) {
            let (id, version) = free.key();
            let bound = resolve_method(library, &format!("{id}@{version}"))?;
            free.insert(bound.method()?);
        }
        Ok(())
    }

    fn of(&self, kept: &KeptSheet) -> Option<&Method> {
        self.0
            .get(&(kept.method_id.clone(), kept.method_version.clone()))
    }
}

fn stopped(sheets: usize) -> String {
    format!(
        "stopped by you while the sheets were checked; all {sheets} of them are kept, and \
         `dyebook sheet show` tells what the checks find"
    )
}
