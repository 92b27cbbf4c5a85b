//! How much a term needs, with the assumption beside each number.

use super::term::{Section, Term, TermError};
use dyebook_documents::counted;
use serde::Serialize;

/// One number of the plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Quantity {
    /// Name that never changes.
    pub id: &'static str,
    /// What is counted.
    pub what: &'static str,
    /// How much.
    pub value: f64,
    /// Unit; empty for a count.
    pub unit: &'static str,
    /// How it comes about, with the numbers.
    pub how: String,
}

/// What each section needs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SectionNeeds {
    /// The section.
    pub section: String,
    /// Method version that it works under.
    pub method: Option<String>,
    /// Groups.
    pub groups: u32,
    /// Students left over in a group smaller than the others; 0 where groups are full.
    pub in_smaller_group: u32,
    /// Papers of the groups, without reserve.
    pub papers: u32,
    /// Developments one after the other, for lack of chambers.
    pub fillings: u32,
}

/// A planned term.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TermPlan {
    /// The term as given.
    pub term: Term,
    /// Each section.
    pub sections: Vec<SectionNeeds>,
    /// Totals.
    pub quantities: Vec<Quantity>,
}

/// How much a term needs.
///
/// # Shape and units
/// Counts are rounded up: half a paper is a paper.
///
/// # Formula
/// ```text
/// groups   G = Σ ⌈students/size⌉           papers  P = ⌈G·p·(1 + repeat + spare)⌉ + references + suitability
/// liquid   V = chambers·mL·(1 + loss), up to whole batches
/// sticks     = ⌈G·lanes·(1 + loss)⌉        vial    ≥ groups·lanes·touches·µL + dead volume
/// pieces   per sheet = ⌊A/w⌋·⌊B/h⌋, never turned: turned pieces have the fibres across
/// ```
///
/// # Errors
/// [`TermError`].
///
/// # Source
/// Arithmetic; shares and volumes are common practice, no source.
pub fn plan_term(term: &Term) -> Result<TermPlan, TermError> {
    term.check()?;
    let sections: Vec<SectionNeeds> = term.sections.iter().map(|s| section(term, s)).collect();
    let groups: u32 = sections.iter().map(|s| s.groups).sum();
    let papers: u32 = sections.iter().map(|s| s.papers).sum();
    let mut quantities = vec![
        Quantity {
            id: "groups",
            what: "groups",
            value: f64::from(groups),
            unit: "",
            how: format!(
                "{} in groups of {}",
                counted(sections.len(), "section"),
                term.group_size
            ),
        },
        all_papers(term, papers),
        sticks(term, groups),
        liquid(term, papers),
        vials(term, groups),
        vial_volume(term),
    ];
    quantities.extend(sheets(term, quantities[1].value)?);
    Ok(TermPlan {
        term: term.clone(),
        sections,
        quantities,
    })
}

fn section(term: &Term, section: &Section) -> SectionNeeds {
    let groups = section.students.div_ceil(term.group_size);
    let papers = groups * term.papers_per_group;
    SectionNeeds {
        section: section.name.clone(),
        method: section.method.clone(),
        groups,
        in_smaller_group: section.students % term.group_size,
        papers,
        fillings: match term.chambers {
            Some(chambers) if chambers > 0 => papers.div_ceil(chambers),
            _ => 1,
        },
    }
}

/// Rounded up; a millionth off a whole number is that number.
fn up(value: f64) -> f64 {
    (value - 1e-6).ceil().max(0.0)
}

fn all_papers(term: &Term, papers: u32) -> Quantity {
    let sections = u32::try_from(term.sections.len()).unwrap_or(u32::MAX);
    let checks = sections * term.suitability_papers_per_section;
    let more = 1.0 + term.repeat_share + term.spare_share;
    Quantity {
        id: "papers",
        what: "papers",
        value: up(f64::from(papers) * more) + f64::from(term.reference_papers + checks),
        unit: "",
        how: format!(
            "{papers} of the groups ({} each), {:.0} % repeated, {:.0} % in reserve, {} for references, {checks} for suitability",
            term.papers_per_group,
            100.0 * term.repeat_share,
            100.0 * term.spare_share,
            term.reference_papers
        ),
    }
}

fn sticks(term: &Term, groups: u32) -> Quantity {
    let lanes = groups * term.lanes_per_group;
    Quantity {
        id: "sticks",
        what: "spotting sticks",
        value: up(f64::from(lanes) * (1.0 + term.stick_loss_share)),
        unit: "",
        how: format!(
            "one for each of {} of {}, {:.0} % lost",
            counted(term.lanes_per_group, "lane"),
            counted(groups, "group"),
            100.0 * term.stick_loss_share
        ),
    }
}

fn liquid(term: &Term, papers: u32) -> Quantity {
    let needed = f64::from(papers) * term.chamber_ml * (1.0 + term.liquid_loss_share);
    let batch = term.batch_ml.filter(|batch| *batch > 0.0);
    let value = batch.map_or(needed, |batch| up(needed / batch) * batch);
    let batches = batch.map_or(String::new(), |batch| {
        let batches = counted((value / batch).round(), "batch");
        format!(", made in {batches} of {batch:.0} mL")
    });
    Quantity {
        id: "liquid",
        what: "developing solvent",
        value,
        unit: "mL",
        how: format!(
            "{} of {:.0} mL, one for each paper of the groups, {:.0} % lost{batches}",
            counted(papers, "chamber"),
            term.chamber_ml,
            100.0 * term.liquid_loss_share
        ),
    }
}

fn vials(term: &Term, groups: u32) -> Quantity {
    Quantity {
        id: "vials",
        what: "vials of dye",
        value: f64::from(groups.div_ceil(term.groups_per_vial) * term.dyes),
        unit: "",
        how: format!(
            "{}, a vial of each for {}",
            counted(term.dyes, "dye"),
            counted(term.groups_per_vial, "group")
        ),
    }
}

fn vial_volume(term: &Term) -> Quantity {
    let lanes = if term.dyes == 0 {
        0.0
    } else {
        f64::from(term.lanes_per_group) / f64::from(term.dyes)
    };
    let used =
        f64::from(term.groups_per_vial) * up(lanes) * f64::from(term.touches) * term.touch_ul;
    Quantity {
        id: "vial-volume",
        what: "dye in a vial, at least",
        value: used / 1000.0 + term.dead_ml,
        unit: "mL",
        how: format!(
            "{}, {} of a dye, {} of {} µL, and {} mL that stay behind",
            counted(term.groups_per_vial, "group"),
            counted(up(lanes), "lane"),
            counted(term.touches, "touch"),
            term.touch_ul,
            term.dead_ml
        ),
    }
}

fn sheets(term: &Term, papers: f64) -> Result<Option<Quantity>, TermError> {
    let (Some(sheet), Some(piece)) = (term.sheet_cm, term.piece_cm) else {
        return Ok(None);
    };
    let fit = |whole: f64, part: f64| (whole / part + 1e-6).floor();
    let per_sheet = fit(sheet[0], piece[0]) * fit(sheet[1], piece[1]);
    if !(per_sheet.is_finite() && per_sheet >= 1.0) {
        return Err(TermError::PieceTooLarge { piece, sheet });
    }
    Ok(Some(Quantity {
        id: "sheets",
        what: "sheets of chromatography paper",
        value: up(papers / per_sheet),
        unit: "",
        how: format!("{per_sheet} pieces from a sheet, all cut one way"),
    }))
}
