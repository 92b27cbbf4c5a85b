//! `reference establish`: from the dye standards of data sheets to the draft of a method's next
//! version.

use super::draft::{Draft, draft};
use super::estimate::Estimate;
use super::outliers::{Flag, flags};
use super::pooled::{PooledSpread, Pooling};
use super::recompute::{Runs, work_out};
use super::spot_place::{SpotPlace, no_such_spot};
use super::standards::{LeftOut, Standards};
use super::wanted_sheets::wanted_sheets;
use crate::failure::Failure;
use crate::find_sheet::find_sheet;
use crate::methods::needs_reason;
use crate::resolve_method::resolve_method;
use dyebook_documents::{DyeRegister, Minimum};
use dyebook_library::{Exclusion, KeptMethod, KeptSheet, Library, Origin, Stamp};
use dyebook_methods::lints::Finding;
use dyebook_methods::rules::Diff;
use serde_json::Value;

/// The lab's minimum where the method states none: below it a range is called provisional. A
/// proposal from bench practice, without a source.
pub(crate) const USUAL_MINIMUM: Minimum = Minimum {
    papers: 6,
    sessions: 3,
};

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct EstablishRequest<'a> {
    /// The method version to start from.
    pub method: &'a str,
    /// The sheets, by id, beginning of one, or `beginning*`.
    pub sheets: &'a [String],
    /// Spots that a person leaves out.
    pub exclude: &'a [SpotPlace],
    /// Why.
    pub reason: Option<&'a str>,
    /// Whose spread stands behind a range.
    pub pooling: Pooling,
}

/// What was worked out and kept.
#[derive(Debug, Clone)]
pub struct Established {
    /// The version it started from.
    pub base: KeptMethod,
    /// The draft, as kept.
    pub draft: KeptMethod,
    /// Whether the draft is new or changed.
    pub new: bool,
    /// The changes against the version in use, or against `base` where none is.
    pub diff: Diff,
    /// The sheets.
    pub sheets: Vec<KeptSheet>,
    /// What was worked out, by dye.
    pub estimates: Vec<Estimate>,
    /// Dyes that were run but can't be estimated, with the reason.
    pub not_estimated: Vec<(String, String)>,
    /// Dyes of the method that were not run: their reference stands as it was.
    pub not_run: Vec<String>,
    /// Spots that don't count.
    pub left_out: Vec<LeftOut>,
    /// Runs that stand apart and do count.
    pub flags: Vec<Flag>,
    /// Below this a range is provisional.
    pub minimum: Minimum,
    /// Whether the method states the minimum itself.
    pub minimum_stated: bool,
    /// How alike the dyes moved from session to session, and from paper to paper, where spread was
    /// pooled over several.
    pub shared: Option<[f64; 2]>,
    /// What a person should know beside, in sentences.
    pub notes: Vec<String>,
    /// What the lints say of the draft.
    pub findings: Vec<Finding>,
}

impl Established {
    /// The references that were worked out, as they stand in the draft.
    pub fn references(&self) -> Vec<Value> {
        let all = self.draft.document["references"].as_array();
        all.into_iter()
            .flatten()
            .filter(|r| {
                self.estimates
                    .iter()
                    .any(|e| r["dye"] == e.runs.dye.as_str())
            })
            .cloned()
            .collect()
    }

    /// Whether a range is provisional.
    pub fn is_provisional(&self, estimate: &Estimate) -> bool {
        below(self.minimum, estimate)
    }
}

/// Whether less stands behind an estimate than the lab wants.
pub(crate) fn below(minimum: Minimum, estimate: &Estimate) -> bool {
    let count = estimate.count();
    count.papers.is_some_and(|papers| papers < minimum.papers)
        || count
            .sessions
            .is_some_and(|sessions| sessions < minimum.sessions)
}

/// Works out the references of the dyes that were run, and keeps a draft with them.
///
/// # Errors
/// Sheets of another method or major version, exclusions without a reason or of no spot, no dye that
/// can be estimated, and what the library says. Nothing is kept then.
pub fn establish(
    library: &mut Library,
    dyes: &DyeRegister,
    request: EstablishRequest<'_>,
    stamp: &Stamp,
) -> Result<Established, Failure> {
    let base = resolve_method(library, request.method)?;
    let method = base.method()?;
    let sheets = wanted_sheets(library, request.sheets)?;
    of_one_major(&base, &sheets)?;
    let new_exclusions = new_exclusions(library, &sheets, request)?;
    let mut exclusions = library.exclusions()?;
    exclusions.retain(|old| {
        let place = SpotPlace::of(old);
        !new_exclusions.iter().any(|new| SpotPlace::of(new) == place)
    });
    exclusions.extend(new_exclusions.iter().cloned());
    let runs = Runs {
        sheets: &sheets,
        method: &method,
        exclusions: &exclusions,
        pooling: request.pooling,
    };
    let (found, estimates) = work_out(library, dyes, runs)?;
    all_met(&new_exclusions, &found)?;
    if estimates.found.is_empty() {
        return Err(nothing_to_estimate(&estimates.not_found, &sheets));
    }
    let minimum = method.minimum.unwrap_or(USUAL_MINIMUM);
    let made = draft(
        library,
        dyes,
        &Draft {
            base: &base,
            sheets: &sheets,
            estimates: &estimates.found,
            left_out: &found.left_out,
            minimum,
            pooling: request.pooling,
        },
    )?;
    let new = keep(library, &made.kept, &new_exclusions, stamp)?;
    let run = |dye: &str| {
        estimates.found.iter().any(|e| e.runs.dye == dye)
            || estimates.not_found.iter().any(|n| n.dye == dye)
    };
    Ok(Established {
        not_run: method
            .references
            .iter()
            .filter(|r| !run(&r.dye))
            .map(|r| r.dye.clone())
            .collect(),
        flags: estimates
            .found
            .iter()
            .flat_map(|e| flags(&e.runs))
            .collect(),
        not_estimated: estimates
            .not_found
            .into_iter()
            .map(|n| (n.dye, n.why))
            .collect(),
        shared: estimates
            .pooled
            .as_ref()
            .filter(|_| estimates.found.iter().any(|e| e.pooled_over.is_some()))
            .map(|pooled: &PooledSpread| pooled.shared),
        estimates: estimates.found,
        left_out: found.left_out,
        minimum_stated: method.minimum.is_some(),
        minimum,
        notes: made.notes,
        findings: made.findings,
        diff: made.diff,
        draft: made.kept,
        new,
        sheets,
        base,
    })
}

fn keep(
    library: &mut Library,
    draft: &KeptMethod,
    exclusions: &[Exclusion],
    stamp: &Stamp,
) -> Result<bool, Failure> {
    let there = library.exclusions()?;
    let change = library.change(stamp.clone())?;
    for exclusion in exclusions.iter().filter(|new| !there.contains(new)) {
        change.keep_exclusion(exclusion)?;
    }
    let new = change.keep_draft(
        &draft.id,
        &draft.version,
        &draft.document,
        &draft.digest,
        Origin::Here,
        draft.document["change_note"].as_str(),
    )?;
    change.commit()?;
    Ok(new)
}

/// Rf of another major version are not comparable.
pub(crate) fn of_one_major(base: &KeptMethod, sheets: &[KeptSheet]) -> Result<(), Failure> {
    let others: Vec<String> = sheets
        .iter()
        .filter(|s| s.method_id != base.id || s.method_version.major != base.version.major)
        .map(|s| format!("{}  run by {}@{}", s.id, s.method_id, s.method_version))
        .collect();
    if others.is_empty() {
        return Ok(());
    }
    Err(Failure::refused(
        "reference.not-comparable",
        format!(
            "{} of the sheets {} not run by version {} of `{}`, so the Rf can't be compared",
            others.len(),
            if others.len() == 1 { "was" } else { "were" },
            base.version.major,
            base.id
        ),
    )
    .details(others)
    .hint("leave these sheets out, or establish the references of the method they were run by"))
}

/// The exclusions asked for, with full sheet ids.
fn new_exclusions(
    library: &Library,
    sheets: &[KeptSheet],
    request: EstablishRequest<'_>,
) -> Result<Vec<Exclusion>, Failure> {
    if request.exclude.is_empty() {
        return Ok(Vec::new());
    }
    let reason = request.reason.unwrap_or_default();
    needs_reason("reference.no-reason", reason)?;
    let mut out = Vec::new();
    for place in request.exclude {
        let sheet = find_sheet(library, &place.sheet)?.id;
        let place = SpotPlace {
            sheet,
            ..place.clone()
        };
        if !sheets.iter().any(|kept| kept.id == place.sheet) {
            return Err(Failure::refused(
                "reference.exclusion-elsewhere",
                format!("`{place}` is not on one of the sheets given with --from"),
            ));
        }
        out.push(place.exclusion(reason));
    }
    Ok(out)
}

/// An exclusion that met no spot was a slip.
fn all_met(exclusions: &[Exclusion], found: &Standards) -> Result<(), Failure> {
    let unmet = exclusions.iter().map(SpotPlace::of).find(|place| {
        !found
            .left_out
            .iter()
            .any(|left_out| left_out.place == *place)
    });
    unmet.map_or(Ok(()), |place| {
        Err(no_such_spot(&place).detail("or it is not a spot of a dye standard".to_owned()))
    })
}

fn nothing_to_estimate(
    not_found: &[super::estimate::NotEstimated],
    sheets: &[KeptSheet],
) -> Failure {
    let failure = Failure::refused(
        "reference.nothing-to-estimate",
        format!(
            "no dye can be given a range from {} {}",
            sheets.len(),
            if sheets.len() == 1 { "sheet" } else { "sheets" }
        ),
    )
    .details(not_found.iter().map(|n| format!("{}  {}", n.dye, n.why)));
    let failure = if not_found.is_empty() {
        failure.detail("they hold no usable spot of a dye standard")
    } else {
        failure
    };
    failure.hint("run the dye standards in at least 2 sessions, better 6 papers over 3 sessions")
}
