//! `reference chart`: do the controls still run where they should? One chart a control dye, broken
//! at version changes, its limits fixed by the method version and never by the values on it.

use super::chart_signals::signals_in_words;
use super::design::{DyeRuns, SessionRun, by_dye, session_words};
use super::show::no_reference;
use super::standards::standards;
use crate::failure::Failure;
use crate::invented::is_invented;
use crate::resolve_method::resolve_method;
use dyebook_documents::{DyeRegister, Method, MethodState, Range, Reference, counted};
use dyebook_library::{KeptMethod, KeptSheet, Library};
use dyebook_report::{ChartPoint, ChartSegment, ControlChart};
use dyebook_statistics::control_charts::reference_limits;
use dyebook_statistics::summary::median;
use std::collections::BTreeMap;

/// A range of expected values is read as covering 95 %, so its half-width is 1.96 SD.
const HALF_WIDTH_IN_SD: f64 = 1.96;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct ChartRequest<'a> {
    /// A method version; all versions of its method are charted.
    pub method: &'a str,
    /// One dye; otherwise the method's controls.
    pub dye: Option<&'a str>,
}

/// The charts with what is not on them.
#[derive(Debug, Clone)]
pub struct Charts {
    /// Identifiers of the dyes, one for one with the charts.
    pub dyes: Vec<String>,
    /// One a dye.
    pub charts: Vec<ControlChart>,
    /// What is not on the charts, and what they can't say, in sentences.
    pub notes: Vec<String>,
}

/// Control charts from all kept sheets of a method.
///
/// # Errors
/// No such version, a dye without a reference, and what the library says.
pub fn control_charts(
    library: &Library,
    dyes: &DyeRegister,
    request: ChartRequest<'_>,
) -> Result<Charts, Failure> {
    let kept = resolve_method(library, request.method)?;
    let method = kept.method()?;
    let mut notes = Vec::new();
    let wanted = match request.dye {
        Some(dye) if method.reference(dye).is_none() => {
            return Err(no_reference(&kept, &method, dye));
        }
        Some(dye) => vec![dye.to_owned()],
        None => controls(&method, &mut notes),
    };
    let mut undated = 0;
    let mut stretches = Vec::new();
    for version in library.methods(Some(&kept.id))? {
        if version.state != MethodState::Draft {
            stretches.push(stretch(library, dyes, version, &mut undated)?);
        }
    }
    if undated > 0 {
        notes.push(format!(
            "{} without a date {} no place on a chart.",
            counted(undated, "sheet"),
            if undated == 1 { "has" } else { "have" }
        ));
    }
    let mut out = Charts {
        dyes: Vec::new(),
        charts: Vec::new(),
        notes,
    };
    for dye in wanted {
        let name = dyes
            .by_id(&dye)
            .map_or_else(|| dye.clone(), |dye| dye.name.clone());
        let mut chart = ControlChart {
            dye: name,
            method: kept.id.clone(),
            segments: Vec::new(),
            findings: Vec::new(),
            demo: is_invented(&method),
            program: super::program(),
        };
        for stretch in &stretches {
            if let Some(segment) = segment(stretch, &dye, &mut chart.findings) {
                chart.segments.push(segment);
            }
        }
        out.dyes.push(dye);
        out.charts.push(chart);
    }
    Ok(out)
}

fn controls(method: &Method, notes: &mut Vec<String>) -> Vec<String> {
    let named = method.controls.clone().unwrap_or_default();
    let (known, unknown): (Vec<String>, Vec<String>) = named
        .into_iter()
        .partition(|dye| method.reference(dye).is_some());
    for dye in unknown {
        notes.push(format!(
            "{dye} is named as a control and has no reference to be held against."
        ));
    }
    if known.is_empty() {
        notes.push("The method names no controls, so every dye is charted.".to_owned());
        return method.references.iter().map(|r| r.dye.clone()).collect();
    }
    known
}

/// What was run by one method version.
struct Stretch {
    kept: KeptMethod,
    method: Method,
    runs: Vec<DyeRuns>,
    /// Batches by session.
    batches: BTreeMap<String, Vec<String>>,
}

fn stretch(
    library: &Library,
    dyes: &DyeRegister,
    kept: KeptMethod,
    undated: &mut usize,
) -> Result<Stretch, Failure> {
    let method = kept.method()?;
    let mut sheets: Vec<KeptSheet> = Vec::new();
    for id in library.sheets_of_method(&kept.id, &kept.version)? {
        sheets.extend(library.sheet(&id, None)?);
    }
    let before = sheets.len();
    sheets.retain(|kept| kept.sheet.date.is_some());
    *undated += before - sheets.len();
    let exclusions = library.exclusions()?;
    let found = standards(library, dyes, &sheets, &method, &exclusions)?;
    let mut batches: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for kept in &sheets {
        let of_session = batches.entry(kept.sheet.session()).or_default();
        if let Some(batch) = &kept.sheet.batch
            && !of_session.contains(batch)
        {
            of_session.push(batch.clone());
        }
    }
    Ok(Stretch {
        runs: by_dye(&found.spots),
        kept,
        method,
        batches,
    })
}

fn segment(stretch: &Stretch, dye: &str, findings: &mut Vec<String>) -> Option<ChartSegment> {
    let reference = stretch.method.reference(dye)?;
    let (sd, limits_from) = spread(reference);
    let centre = reference.centre();
    let limits = reference_limits(centre, sd).ok()?;
    let runs = stretch.runs.iter().find(|runs| runs.dye == dye);
    let mut sessions: Vec<&SessionRun> = runs.iter().flat_map(|runs| &runs.sessions).collect();
    sessions.sort_by_key(|session| (day(&session.session), session.session.clone()));
    let mut points: Vec<ChartPoint> = sessions
        .iter()
        .map(|session| point(session, stretch.batches.get(&session.session)))
        .collect();
    let found = signals_in_words(&stretch.kept.version.to_string(), &mut points, centre, sd);
    findings.extend(found);
    Some(ChartSegment {
        version: stretch.kept.version.to_string(),
        digest: stretch.kept.digest.short().to_owned(),
        centre,
        warning: Range {
            low: limits.lower_warning,
            high: limits.upper_warning,
        },
        action: Range {
            low: limits.lower,
            high: limits.upper,
        },
        limits_from,
        points,
    })
}

/// The standard deviation that limits stand for, with a sentence.
fn spread(reference: &Reference) -> (f64, String) {
    let centre = match reference.assigned_rf {
        Some(_) => "the assigned value",
        None => "the middle of the expected range",
    };
    if let Some(sd) = reference
        .sd
        .and_then(|sd| sd.intermediate())
        .filter(|sd| *sd > 0.0)
    {
        let from = format!(
            "{centre} ± 2 and ± 3 SD of one spot in a new session ({sd:.3}); each value is a \
             session's median paper, so a value outside says more than one spot would"
        );
        return (sd, from);
    }
    let sd = reference.expected_rf.width() / 2.0 / HALF_WIDTH_IN_SD;
    let from = format!(
        "{centre} ± 2 and ± 3 times {sd:.3}, read off the expected range as covering 95 %, since \
         the method states no SD"
    );
    (sd, from)
}

/// The median of the papers' means: one group's slip does not move the class.
fn point(session: &SessionRun, batches: Option<&Vec<String>>) -> ChartPoint {
    let means: Vec<f64> = session
        .papers
        .iter()
        .map(super::design::PaperRun::mean)
        .collect();
    let mut note = counted(means.len(), "paper");
    if let Some(batches) = batches.filter(|batches| !batches.is_empty()) {
        note.push_str(", batch ");
        note.push_str(&batches.join(", "));
    }
    let section = session.session.split('|').next().unwrap_or_default();
    ChartPoint {
        date: day(&session.session),
        session: section.to_owned(),
        value: median(&means).unwrap_or_else(|_no_papers| session.mean()),
        note,
        flagged: false,
    }
}

fn day(session: &str) -> String {
    session_words(session)
        .rsplit(", ")
        .next()
        .unwrap_or_default()
        .to_owned()
}
