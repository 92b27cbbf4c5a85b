//! What the signatures say of a sheet, as data.

use super::diagnosis::{CLEARLY, Diagnosis, LEAST_STANDARDS, diagnose};
use super::model::Remedy;
use super::standards::Standards;
use crate::context::Context;
use crate::evaluated_sheet::{EvaluatedLane, EvaluatedSheet};
use crate::exchanged_columns::Exchanged;
use crate::known_spots::MOST_STANDARDS;
use crate::scale_slip::SlipPlace;
use crate::sheet_view::{PaperView, SheetView};
use compact_str::CompactString;
use serde::Serialize;

/// A mistake that the standards are consistent with. Nothing is changed by it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Signature {
    /// Name of the model, e.g. `both-from-edge`.
    pub model: &'static str,
    /// Papers of the sheet that show it.
    pub papers: Vec<String>,
    /// The length found, in cm, where the mistake has one.
    pub size_cm: Option<f64>,
    /// Its standard uncertainty, in cm.
    pub u_cm: Option<f64>,
    /// Standards that it rests on.
    pub standards: usize,
    /// Natural logarithm of the odds against nothing wrong.
    pub log_odds: f64,
    /// Other mistakes that explain the standards about as well.
    pub others: Vec<OtherSignature>,
    /// What would have to be read otherwise.
    pub remedy: Remedy,
    /// Every spot of the papers, with what its Rf would be.
    pub spots: Vec<SpotIfSo>,
}

impl Signature {
    /// Whether the odds are clear enough for a warning; else it is worth a remark only.
    pub fn is_clear(&self) -> bool {
        self.log_odds >= CLEARLY
    }

    /// Whether it clearly says that more than two lanes of a paper hold another lane's dye.
    pub(crate) fn moves_lanes_of(&self, paper: &str) -> bool {
        let moves = matches!(&self.remedy, Remedy::Relabelled { lanes } if lanes.len() > 2);
        moves && self.is_clear() && self.papers.iter().any(|one| one == paper)
    }

    /// The two lanes of a paper that it says are exchanged.
    pub(crate) fn exchanged_lanes(&self) -> Option<(&str, [u32; 2])> {
        let Remedy::Relabelled { lanes } = &self.remedy else {
            return None;
        };
        let [(one, Some(_)), (other, Some(_))] = lanes[..] else {
            return None;
        };
        Some((self.papers.first()?, [one.min(other), one.max(other)]))
    }

    /// What the Rf of a spot would be; `None` for a spot that isn't on its papers.
    pub(crate) fn rf_if_so(&self, paper: &str, lane: u32, spot: u32) -> Option<f64> {
        let is_it = |one: &&SpotIfSo| (&*one.paper, one.lane, one.spot) == (paper, lane, spot);
        self.spots.iter().find(is_it).map(|one| one.rf_if_so)
    }
}

/// Another mistake that explains the standards about as well.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OtherSignature {
    /// Name of the model.
    pub model: &'static str,
    /// The length it would take, in cm.
    pub size_cm: Option<f64>,
    /// What would have to be read otherwise.
    pub remedy: Remedy,
    /// By how much less it explains, in natural logarithm of the odds.
    pub behind: f64,
}

/// A spot's Rf if the mistake was made.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpotIfSo {
    /// Paper.
    pub paper: String,
    /// Lane.
    pub lane: u32,
    /// Spot.
    pub spot: u32,
    /// Rf as it stands.
    pub rf: f64,
    /// Rf if so.
    pub rf_if_so: f64,
}

/// The mistakes that the standards of a sheet are consistent with: a habit that all papers show, or
/// what single papers show.
pub fn find_signatures(context: &Context<'_>) -> Vec<Signature> {
    SheetView::new(context).signatures
}

pub(crate) fn signatures<'a>(context: &'a Context<'a>, papers: &[PaperView<'a>]) -> Vec<Signature> {
    let mut found: Vec<Signature> = papers
        .iter()
        .filter_map(|paper| of_paper(context, paper))
        .collect();
    let all_sound = papers
        .iter()
        .all(|p| p.slips.is_empty() && is_straight(&p.exchanged));
    let others_than_habits = found.iter().any(|one| !is_habit(one.model));
    if all_sound
        && !others_than_habits
        && let Some(habit) = of_all_papers(context, papers)
    {
        found = vec![habit];
    }
    found
}

fn is_straight(exchanged: &Exchanged) -> bool {
    matches!(exchanged, Exchanged::Lanes(lanes) if lanes.is_empty())
}

fn is_habit(id: &str) -> bool {
    super::SIGNATURES
        .iter()
        .any(|model| model.id == id && model.habit)
}

/// What one paper shows; values that a slip of the entry already explains are left out.
fn of_paper<'a>(context: &'a Context<'a>, paper: &PaperView<'a>) -> Option<Signature> {
    if paper.exchanged == Exchanged::WholePaper || paper.slips.iter().any(is_column) {
        return None;
    }
    if paper.known.len() < LEAST_STANDARDS {
        return None;
    }
    let highest = paper.lanes.iter().map(|view| view.lane.lane).max()?;
    let standards = Standards::of_paper(context, paper.sound_known(), highest);
    let diagnosis = diagnose(&standards, false)?;
    let lanes = paper.lanes.iter().map(|view| view.lane);
    Some(signature(
        &diagnosis,
        &standards,
        vec![paper.name.to_owned()],
        lanes,
    ))
}

fn is_column(slip: &crate::scale_slip::ScaleSlip) -> bool {
    matches!(
        slip.place,
        SlipPlace::DistanceColumn | SlipPlace::FrontColumn
    )
}

/// A habit that the group's papers show together.
fn of_all_papers<'a>(context: &'a Context<'a>, papers: &[PaperView<'a>]) -> Option<Signature> {
    let mut standards_left = MOST_STANDARDS;
    let mut fits = |sheet: &EvaluatedSheet| {
        let standards = sheet.lanes.iter().filter(|lane| lane.dye.is_some()).count();
        let left = standards_left.checked_sub(standards);
        standards_left = left.unwrap_or(0);
        left.is_some()
    };
    if !fits(context.evaluated) {
        return None;
    }
    let others = context.group_sheets.iter();
    let others: Vec<&EvaluatedSheet> = others.take_while(|sheet| fits(sheet)).collect();
    let standards = Standards::of_sheets(context, papers, &others)?;
    let diagnosis = diagnose(&standards, true)?;
    if !standards.each_paper_agrees(&diagnosis.fit.remedy) {
        return None;
    }
    // Of a paper without standards nothing is known.
    let own = context.evaluated;
    let has_standard = |paper: &&CompactString| own.lanes_of(paper).any(|lane| lane.dye.is_some());
    let papers = own.papers.iter().filter(has_standard);
    let papers: Vec<String> = papers.map(ToString::to_string).collect();
    let lanes = (own.lanes.iter()).filter(|lane| papers.iter().any(|paper| lane.paper == *paper));
    let lanes: Vec<&EvaluatedLane> = lanes.collect();
    Some(signature(&diagnosis, &standards, papers, lanes.into_iter()))
}

fn signature<'a>(
    diagnosis: &Diagnosis,
    standards: &Standards<'_>,
    papers: Vec<String>,
    lanes: impl Iterator<Item = &'a EvaluatedLane>,
) -> Signature {
    let remedy = diagnosis.fit.remedy.clone();
    let spots = lanes
        .flat_map(|lane| lane.spots.iter().map(move |spot| (lane, spot)))
        .filter_map(|(lane, spot)| {
            let (distance, front) = (spot.distance_cm?, spot.front_cm?);
            Some(SpotIfSo {
                paper: lane.paper.to_string(),
                lane: lane.lane,
                spot: spot.spot,
                rf: spot.rf?,
                rf_if_so: remedy.rf(lane.lane, spot.spot, distance, front)?,
            })
        })
        .collect();
    Signature {
        model: diagnosis.model.id,
        papers,
        size_cm: diagnosis.fit.size.map(|size| size.cm),
        u_cm: diagnosis.fit.size.map(|size| size.u_cm),
        standards: standards.len(),
        log_odds: diagnosis.gain,
        others: diagnosis
            .others
            .iter()
            .map(|(model, fit, behind)| OtherSignature {
                model: model.id,
                size_cm: fit.size.map(|size| size.cm),
                remedy: fit.remedy.clone(),
                behind: *behind,
            })
            .collect(),
        remedy,
        spots,
    }
}
