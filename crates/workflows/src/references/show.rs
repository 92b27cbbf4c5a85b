//! `reference show`: every number of a reference set with where it is from. What was established
//! here is worked out again from the sheets as they stood, so that the page shows what the numbers
//! rest on and not only what was written down.

use super::design::{DyeRuns, session_words};
use super::establish::{USUAL_MINIMUM, below};
use super::estimate::{Estimate, kept};
use super::evidence::{Evidence, evidence_of};
use super::more_papers::more_papers;
use super::recompute::{Runs, work_out};
use super::show_numbers::{AS_WRITTEN, HOW, numbers_as_written, numbers_worked_out};
use super::spot_place::SpotPlace;
use super::standards::{LeftOut, WhyLeftOut};
use crate::failure::Failure;
use crate::invented::is_invented;
use crate::resolve_method::resolve_method;
use dyebook_documents::{DyeRegister, Method, Reference, digest_value};
use dyebook_library::{Exclusion, KeptMethod, KeptSheet, Library};
use dyebook_report::{
    ExcludedSpot, MorePapers, NumberOrigin, PaperSpots, ReferencePage, ReferenceSheet,
    SessionSpots, reference_sheet,
};
use serde_json::json;

/// A reference set with what stands behind it.
#[derive(Debug, Clone)]
pub struct ShownReferences {
    /// The method version.
    pub kept: KeptMethod,
    /// The references as they stand in it, one for one with the pages.
    pub references: Vec<Reference>,
    /// The page.
    pub sheet: ReferenceSheet,
    /// Evidence of each reference, where it was established here.
    pub evidence: Vec<Option<Evidence>>,
    /// Whether each reference came out the same when worked out again; `None` where it can't be.
    pub agrees: Vec<Option<bool>>,
}

impl ShownReferences {
    /// The page as HTML.
    pub fn html(&self) -> String {
        reference_sheet(&self.sheet)
    }
}

/// The references of a method version, or of one dye of it.
///
/// # Errors
/// No such version or dye, and what the library says.
pub fn show_references(
    library: &Library,
    dyes: &DyeRegister,
    reference: &str,
    dye: Option<&str>,
) -> Result<ShownReferences, Failure> {
    let kept = resolve_method(library, reference)?;
    let method = kept.method()?;
    let wanted: Vec<Reference> = method
        .references
        .iter()
        .filter(|r| dye.is_none_or(|dye| r.dye == dye))
        .cloned()
        .collect();
    if let (Some(dye), true) = (dye, wanted.is_empty()) {
        return Err(no_reference(&kept, &method, dye));
    }
    let mut again = Again::default();
    let mut out = ShownReferences {
        sheet: ReferenceSheet {
            method: kept.name(),
            state: kept.state.to_string(),
            digest: kept.digest.as_str().to_owned(),
            how: HOW.iter().map(|sentence| (*sentence).to_owned()).collect(),
            references: Vec::new(),
            demo: is_invented(&method),
            program: crate::references::program(),
        },
        references: Vec::new(),
        evidence: Vec::new(),
        agrees: Vec::new(),
        kept,
    };
    for reference in wanted {
        let evidence = evidence_of(&out.kept.document, &reference.dye);
        let found = match &evidence {
            Some(evidence) => again.work_out(library, dyes, evidence, &reference.dye)?,
            None => Found::NotHere,
        };
        let page = Page {
            library,
            dyes,
            method: &method,
            reference: &reference,
            evidence: evidence.as_ref(),
        };
        out.agrees.push(match &found {
            Found::Again(again) => Some(same(&reference, &again.estimate)),
            _ => None,
        });
        out.sheet.references.push(page.fill(found)?);
        out.references.push(reference);
        out.evidence.push(evidence);
    }
    if out.evidence.iter().all(Option::is_none) {
        out.sheet.how = vec![AS_WRITTEN.to_owned()];
    }
    Ok(out)
}

/// A dye that the method version has no reference of.
pub(crate) fn no_reference(kept: &KeptMethod, method: &Method, dye: &str) -> Failure {
    let there: Vec<&str> = method.references.iter().map(|r| r.dye.as_str()).collect();
    Failure::refused(
        "reference.unknown-dye",
        format!("`{}` has no reference of `{dye}`", kept.name()),
    )
    .detail(format!("it has  {}", there.join(", ")))
}

fn same(reference: &Reference, estimate: &Estimate) -> bool {
    reference.assigned_rf == Some(kept(estimate.assigned))
        && reference.expected_rf == estimate.expected
}

/// What working out again came to.
enum Found {
    /// It was not established here.
    NotHere,
    /// It can't be worked out again, and why.
    Not(String),
    /// It was.
    Again(Box<WorkedOut>),
}

struct WorkedOut {
    estimate: Estimate,
    left_out: Vec<LeftOut>,
}

/// One establishing is worked out once for all its dyes.
#[derive(Default)]
struct Again(Vec<(Evidence, Vec<Estimate>, Vec<LeftOut>)>);

impl Again {
    fn work_out(
        &mut self,
        library: &Library,
        dyes: &DyeRegister,
        evidence: &Evidence,
        dye: &str,
    ) -> Result<Found, Failure> {
        let known = self.0.iter().position(|(there, ..)| {
            there.sheets == evidence.sheets
                && there.method == evidence.method
                && there.pooling == evidence.pooling
                && there.excluded == evidence.excluded
        });
        let at = match known {
            Some(at) => at,
            None => match self.all_dyes(library, dyes, evidence)? {
                Ok(at) => at,
                Err(why) => return Ok(Found::Not(why)),
            },
        };
        let Some((_, estimates, left_out)) = self.0.get(at) else {
            return Ok(Found::NotHere);
        };
        let estimate = estimates.iter().find(|estimate| estimate.runs.dye == dye);
        Ok(match estimate {
            Some(estimate) => Found::Again(Box::new(WorkedOut {
                estimate: estimate.clone(),
                left_out: left_out.iter().filter(|l| l.dye == dye).cloned().collect(),
            })),
            None => Found::Not("the sheets give no range for it any more".to_owned()),
        })
    }

    fn all_dyes(
        &mut self,
        library: &Library,
        dyes: &DyeRegister,
        evidence: &Evidence,
    ) -> Result<Result<usize, String>, Failure> {
        let mut sheets: Vec<KeptSheet> = Vec::new();
        for named in &evidence.sheets {
            match library.sheet(&named.sheet, Some(named.revision))? {
                Some(kept) => sheets.push(kept),
                None => {
                    return Ok(Err(format!(
                        "sheet {} (revision {}) is not in this library",
                        named.sheet, named.revision
                    )));
                }
            }
        }
        let Ok(base) = resolve_method(library, &evidence.method) else {
            return Ok(Err(format!("{} is not in this library", evidence.method)));
        };
        let exclusions = exclusions_then(library, evidence)?;
        let method = base.method()?;
        let (found, estimates) = work_out(
            library,
            dyes,
            Runs {
                sheets: &sheets,
                method: &method,
                exclusions: &exclusions,
                pooling: evidence.pooling,
            },
        )?;
        self.0
            .push((evidence.clone(), estimates.found, found.left_out));
        Ok(Ok(self.0.len() - 1))
    }
}

/// The exclusions that were in force, with the reasons kept here; others may have come since.
fn exclusions_then(library: &Library, evidence: &Evidence) -> Result<Vec<Exclusion>, Failure> {
    let kept = library.exclusions()?;
    Ok(evidence
        .excluded
        .iter()
        .map(|place| {
            let here = kept
                .iter()
                .find(|exclusion| SpotPlace::of(exclusion) == *place);
            here.cloned()
                .unwrap_or_else(|| place.exclusion("the reason is not in this library"))
        })
        .collect())
}

struct Page<'a> {
    library: &'a Library,
    dyes: &'a DyeRegister,
    method: &'a Method,
    reference: &'a Reference,
    evidence: Option<&'a Evidence>,
}

impl Page<'_> {
    fn fill(&self, found: Found) -> Result<ReferencePage, Failure> {
        let reference = self.reference;
        let dye = self.dyes.by_id(&reference.dye);
        let mut page = ReferencePage {
            dye: dye.map_or_else(|| reference.dye.clone(), |dye| dye.name.clone()),
            assigned_rf: reference.assigned_rf,
            assigned_u: self.evidence.map(|evidence| evidence.assigned_u),
            expected: reference.expected_rf,
            provisional: reference.provisional.unwrap_or(false) || self.is_short(),
            colours: Vec::new(),
            behaviour: reference.behaviour.clone().unwrap_or_default(),
            numbers: numbers_as_written(reference, self.evidence),
            sessions: Vec::new(),
            excluded: Vec::new(),
            more_papers: Vec::new(),
        };
        match found {
            Found::NotHere => {}
            Found::Not(why) => page.numbers.push(NumberOrigin {
                name: "Worked out again".to_owned(),
                value: "no".to_owned(),
                from: why,
            }),
            Found::Again(worked_out) => self.fill_worked_out(&mut page, &worked_out)?,
        }
        Ok(page)
    }

    fn fill_worked_out(&self, page: &mut ReferencePage, found: &WorkedOut) -> Result<(), Failure> {
        let estimate = &found.estimate;
        page.numbers = numbers_worked_out(estimate, self.reference);
        page.colours = estimate.runs.colours();
        page.provisional = below(self.method.minimum.unwrap_or(USUAL_MINIMUM), estimate);
        page.sessions = session_spots(&estimate.runs);
        for left_out in found
            .left_out
            .iter()
            .filter(|l| l.kind == WhyLeftOut::Excluded)
        {
            page.excluded.push(ExcludedSpot {
                session: session_words(&left_out.session),
                place: left_out.place.to_string(),
                rf: left_out.rf.unwrap_or(f64::NAN),
                why: left_out.why.clone(),
                by: who_excluded(self.library, &left_out.place)?,
            });
        }
        page.more_papers = more_papers(estimate)
            .into_iter()
            .map(|planned| MorePapers {
                design: planned.design.to_owned(),
                range: format!(
                    "± {:.3} instead of ± {:.3}",
                    planned.half_width, planned.now
                ),
            })
            .collect();
        Ok(())
    }

    fn is_short(&self) -> bool {
        let minimum = self.method.minimum.unwrap_or(USUAL_MINIMUM);
        let enough = |count: Option<u32>, least: u32| count.is_some_and(|count| count >= least);
        !self.reference.count.is_some_and(|count| {
            enough(count.papers, minimum.papers) && enough(count.sessions, minimum.sessions)
        })
    }
}

fn session_spots(runs: &DyeRuns) -> Vec<SessionSpots> {
    runs.sessions
        .iter()
        .map(|session| SessionSpots {
            session: session_words(&session.session),
            papers: session
                .papers
                .iter()
                .map(|paper| PaperSpots {
                    paper: format!("{} (sheet {})", paper.paper, paper.sheet),
                    rf: paper.spots.iter().map(|spot| spot.rf).collect(),
                })
                .collect(),
        })
        .collect()
}

/// Who excluded a spot and when, from the history.
fn who_excluded(library: &Library, place: &SpotPlace) -> Result<String, Failure> {
    let digest = digest_value(&json!([place.sheet, place.paper, place.lane, place.spot]));
    let record = library
        .history(Some(&place.sheet))?
        .into_iter()
        .rev()
        .find(|record| {
            record.action == "excluded" && record.after_digest.as_deref() == Some(digest.as_str())
        });
    Ok(record.map_or_else(
        || "not recorded here".to_owned(),
        |record| {
            let day = record.at.split('T').next().unwrap_or_default().to_owned();
            format!("{}, {day}", record.by)
        },
    ))
}
