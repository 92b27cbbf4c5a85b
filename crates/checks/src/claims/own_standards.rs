//! A claimed dye against the group's own standard of it.

use crate::evaluated_sheet::{EvaluatedLane, EvaluatedSpot};
use crate::known_spots::{KnownSpot, expected_colours};
use crate::sheet_view::SheetView;
use dyebook_documents::{ColourVerdict, judge_colour};
use serde::Serialize;

/// Two spots of one dye differ by no more than so many SD of their difference (95 %).
const WITHIN_SD: f64 = 2.0;
/// A range of expected values is read as covering 95 %.
const HALF_WIDTH_IN_SD: f64 = 1.96;

/// Whether a group's own standards say what it claims.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "verdict")]
pub enum OwnData {
    /// The spot stands where their own standard of the dye does.
    Agrees {
        /// That standard.
        standard: OwnStandard,
        /// Other dyes whose own standards it agrees with as well.
        also: Vec<String>,
    },
    /// It doesn't, or its colour disagrees.
    Contradicts {
        /// That standard.
        standard: OwnStandard,
        /// Dyes whose own standards it does agree with.
        rather: Vec<String>,
    },
    /// They ran no standard of it.
    NoOwnStandard,
    /// The spot has no Rf.
    NotEvaluable,
    /// The claim names no known dye.
    NotRead,
}

impl OwnData {
    /// Whether they agree, where that could be judged.
    pub fn agrees(&self) -> Option<bool> {
        match self {
            Self::Agrees { .. } => Some(true),
            Self::Contradicts { .. } => Some(false),
            Self::NoOwnStandard | Self::NotEvaluable | Self::NotRead => None,
        }
    }
}

/// The group's own standard that a claim was held against.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OwnStandard {
    /// Paper.
    pub paper: String,
    /// Lane.
    pub lane: u32,
    /// Rf of the standard.
    pub rf: f64,
    /// Whether it stands on the same paper as the spot.
    pub same_paper: bool,
    /// Rf of the spot minus that of the standard.
    pub difference: f64,
    /// Largest difference that two spots of the dye explain.
    pub limit: f64,
    /// Rf of the standard minus the value that the method assigns.
    pub off_expected: Option<f64>,
}

pub(super) fn own_data(
    sheet: &SheetView<'_>,
    lane: &EvaluatedLane,
    spot: &EvaluatedSpot,
    dye: &str,
) -> OwnData {
    let Some(rf) = spot.rf else {
        return OwnData::NotEvaluable;
    };
    let Some(standard) = own_standard(sheet, lane, spot, rf, dye) else {
        return OwnData::NoOwnStandard;
    };
    let mut agreeing: Vec<String> = vec![];
    for reference in &sheet.context.method.references {
        let other = own_standard(sheet, lane, spot, rf, &reference.dye);
        if other.is_some_and(|other| agrees(sheet, spot, &reference.dye, &other)) {
            agreeing.push(reference.dye.clone());
        }
    }
    let claimed = agreeing.iter().any(|agreeing| agreeing == dye);
    agreeing.retain(|agreeing| agreeing != dye);
    if claimed {
        OwnData::Agrees {
            standard,
            also: agreeing,
        }
    } else {
        OwnData::Contradicts {
            standard,
            rather: agreeing,
        }
    }
}

fn agrees(sheet: &SheetView<'_>, spot: &EvaluatedSpot, dye: &str, standard: &OwnStandard) -> bool {
    let colours = expected_colours(sheet.context, dye);
    let colour = judge_colour(spot.colour.as_deref(), colours);
    standard.difference.abs() <= standard.limit && colour != ColourVerdict::Disagrees
}

/// The group's standard of a dye: on the spot's own paper if there is one, else on another.
fn own_standard(
    sheet: &SheetView<'_>,
    lane: &EvaluatedLane,
    spot: &EvaluatedSpot,
    rf: f64,
    dye: &str,
) -> Option<OwnStandard> {
    let all = || {
        let known = sheet.papers.iter().flat_map(|paper| &paper.known);
        known.filter(|known| known.reference.dye == dye)
    };
    let known: &KnownSpot<'_> = all()
        .find(|known| known.lane.paper == lane.paper)
        .or_else(|| all().next())?;
    let same_paper = known.lane.paper == lane.paper;
    let reading = known.spot.u.unwrap_or(0.0).hypot(spot.u.unwrap_or(0.0));
    Some(OwnStandard {
        paper: known.lane.paper.to_string(),
        lane: known.lane.lane,
        rf: known.rf,
        same_paper,
        difference: rf - known.rf,
        limit: WITHIN_SD * spot_sd(known, same_paper).hypot(reading),
        off_expected: Some(known.rf - known.reference.centre()),
    })
}

/// SD of the difference of two spots of a dye, reading apart.
fn spot_sd(known: &KnownSpot<'_>, same_paper: bool) -> f64 {
    let sd = known.reference.sd;
    let within = sd.and_then(|sd| sd.within_paper);
    let papers = sd.and_then(|sd| sd.between_papers);
    let one = match (within, papers) {
        (Some(within), _) if same_paper => within,
        (Some(within), Some(papers)) => within.hypot(papers),
        _ => known.reference.expected_rf.width() / 2.0 / HALF_WIDTH_IN_SD,
    };
    one * std::f64::consts::SQRT_2
}
