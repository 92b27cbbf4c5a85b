//! The spots of the dye standards of kept sheets, sorted into those that count for their dye's
//! value and those that don't, each with the reason.

use super::spot_place::SpotPlace;
use crate::failure::Failure;
use crate::resolve_method::resolve_method;
use crate::sheet_evidence::{SessionPapers, check_sheet};
use dyebook_checks::{EvaluatedLane, EvaluatedSpot, evaluate};
use dyebook_documents::{
    Check, ColourVerdict, DyeRegister, Method, MinorSpot, Reference, Severity, judge_colour,
    show_rf,
};
use dyebook_library::{Exclusion, KeptSheet, Library};
use serde::Serialize;

/// The spot of a dye standard that counts.
#[derive(Debug, Clone, PartialEq)]
pub struct StandardSpot {
    /// Dye identifier.
    pub dye: String,
    /// Session, as the sheet has it.
    pub session: String,
    /// Where it is.
    pub place: SpotPlace,
    /// Its Rf.
    pub rf: f64,
    /// Its colour, as written.
    pub colour: Option<String>,
}

/// A spot of a dye standard that doesn't count.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeftOut {
    /// Dye identifier.
    pub dye: String,
    /// Where it is.
    #[serde(flatten)]
    pub place: SpotPlace,
    /// Its Rf.
    pub rf: Option<f64>,
    /// Session, as the sheet has it.
    #[serde(skip)]
    pub session: String,
    /// The kind of reason.
    pub kind: WhyLeftOut,
    /// The reason, in words.
    pub why: String,
}

/// Why a spot doesn't count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WhyLeftOut {
    /// A person excluded it, with a reason.
    Excluded,
    /// The method expects it beside the dye's own.
    MinorSpot,
    /// It has no Rf that could be used.
    Unusable,
    /// It is not the dye's own spot, and not expected.
    NotExpected,
}

/// All spots of dye standards.
#[derive(Debug, Clone, Default)]
pub(crate) struct Standards {
    pub(crate) spots: Vec<StandardSpot>,
    pub(crate) left_out: Vec<LeftOut>,
}

/// An expected minor spot lies within so many standard deviations of its place, as in the checks.
const WITHIN_SD: f64 = 3.0;
/// A range of expected values is read as covering 95 %, so its half-width is 1.96 SD.
const HALF_WIDTH_IN_SD: f64 = 1.96;
/// Beginnings of the words for spots without a centre. A tail has one: it is measured and counts.
const WITHOUT_CENTRE: [&str; 4] = ["streak", "smear", "smudge", "merged"];

/// Sorts the spots of the lanes of known dye of these sheets.
///
/// `method` says which spot of a lane is the dye's own and which is an expected minor one.
pub(crate) fn standards(
    library: &Library,
    dyes: &DyeRegister,
    sheets: &[KeptSheet],
    method: &Method,
    exclusions: &[Exclusion],
) -> Result<Standards, Failure> {
    let mut out = Standards::default();
    let sessions = sheets.iter().map(|kept| kept.sheet.session());
    let papers = SessionPapers::kept(library, sessions)?;
    for kept in sheets {
        let stops = stops(library, dyes, kept, &papers)?;
        let evaluated = evaluate(&kept.sheet, method, dyes);
        for lane in evaluated.lanes.iter().filter(|lane| lane.is_known()) {
            let Some(dye) = lane.dye.as_deref() else {
                continue;
            };
            let view = LaneView {
                kept,
                lane,
                dye,
                reference: method.reference(dye),
                colours: colours(method, dyes, dye),
                stops: &stops,
                exclusions,
            };
            view.sort(&mut out);
        }
    }
    Ok(out)
}

/// The method's colours of a dye, else the dye's own.
pub(crate) fn colours(method: &Method, dyes: &DyeRegister, dye: &str) -> Vec<String> {
    method
        .reference(dye)
        .and_then(|reference| reference.colours.clone())
        .or_else(|| dyes.by_id(dye).map(|dye| dye.colours.clone()))
        .unwrap_or_default()
}

/// The checks of a sheet that forbid its use, with the method version it is bound to.
fn stops(
    library: &Library,
    dyes: &DyeRegister,
    kept: &KeptSheet,
    papers: &SessionPapers,
) -> Result<Vec<Check>, Failure> {
    let bound = resolve_method(
        library,
        &format!("{}@{}", kept.method_id, kept.method_version),
    )?;
    let method = bound.method()?;
    let evaluated = evaluate(&kept.sheet, &method, dyes);
    let mut checks = check_sheet(kept, &evaluated, &method, dyes, papers);
    checks.retain(|check| check.severity == Severity::Stop);
    Ok(checks)
}

struct LaneView<'a> {
    kept: &'a KeptSheet,
    lane: &'a EvaluatedLane,
    dye: &'a str,
    reference: Option<&'a Reference>,
    colours: Vec<String>,
    stops: &'a [Check],
    exclusions: &'a [Exclusion],
}

impl LaneView<'_> {
    fn sort(&self, out: &mut Standards) {
        let mut rest: Vec<(&EvaluatedSpot, f64)> = Vec::new();
        for spot in &self.lane.spots {
            if let Some((kind, why)) = self.not_usable(spot) {
                out.left_out.push(self.left_out(spot, kind, why));
            } else if let Some(rf) = spot.rf {
                rest.push((spot, rf));
            }
        }
        if rest.len() > 1 {
            let minor = |(spot, rf): &(&EvaluatedSpot, f64)| self.minor_spot(spot, *rf);
            let expected: Vec<(&EvaluatedSpot, f64)> = rest
                .iter()
                .filter(|spot| minor(spot).is_some())
                .copied()
                .collect();
            // Where all lie at minor places, none of them can be told to be one.
            if expected.len() < rest.len() {
                rest.retain(|spot| minor(spot).is_none());
                for (spot, rf) in expected {
                    let at = self.minor_spot(spot, rf).map_or(rf, |minor| minor.rf);
                    let why = format!("the minor spot expected at Rf {}", show_rf(at));
                    out.left_out
                        .push(self.left_out(spot, WhyLeftOut::MinorSpot, why));
                }
            }
        }
        let own = self.own_spot(&rest);
        for (spot, rf) in rest {
            if own == Some(spot.spot) {
                out.spots.push(StandardSpot {
                    dye: self.dye.to_owned(),
                    session: self.kept.sheet.session(),
                    place: self.place(spot),
                    rf,
                    colour: spot.colour.as_deref().map(str::to_owned),
                });
            } else {
                let why = if own.is_some() {
                    "a further spot of the lane that is not expected of the dye"
                } else {
                    "one of several spots, and the method does not say which is the dye's own"
                };
                out.left_out
                    .push(self.left_out(spot, WhyLeftOut::NotExpected, why.to_owned()));
            }
        }
    }

    /// What a person or the sheet itself says against a spot.
    fn not_usable(&self, spot: &EvaluatedSpot) -> Option<(WhyLeftOut, String)> {
        let place = self.place(spot);
        if let Some(excluded) = self.exclusions.iter().find(|e| SpotPlace::of(e) == place) {
            return Some((WhyLeftOut::Excluded, excluded.reason.clone()));
        }
        let unusable = |why: String| Some((WhyLeftOut::Unusable, why));
        if let Some(why) = spot.unusable {
            return unusable(why.to_owned());
        }
        let stop = self.stops.iter().find(|check| {
            let at = &check.place;
            at.paper.as_ref().is_none_or(|paper| *paper == place.paper)
                && at.lane.is_none_or(|lane| lane == place.lane)
                && at.spot.is_none_or(|number| number == place.spot)
        });
        if let Some(stop) = stop {
            return unusable(format!("{} [{}]", stop.message, stop.check));
        }
        if spot.rf.is_some_and(|rf| rf > 1.0) {
            return unusable("it lies beyond the front".to_owned());
        }
        let shape = spot
            .shape
            .as_deref()
            .unwrap_or_default()
            .trim()
            .to_lowercase();
        if WITHOUT_CENTRE.iter().any(|word| shape.starts_with(word)) {
            return unusable(format!("noted as {shape}, which has no centre"));
        }
        None
    }

    fn minor_spot(&self, spot: &EvaluatedSpot, rf: f64) -> Option<&MinorSpot> {
        let reference = self.reference?;
        let of_range = reference.expected_rf.width() / 2.0 / HALF_WIDTH_IN_SD;
        let sd = reference
            .sd
            .and_then(|sd| sd.intermediate())
            .unwrap_or(0.0)
            .max(of_range)
            .hypot(spot.u.unwrap_or(0.0));
        reference.minor_spots.iter().flatten().find(|minor| {
            let words: Vec<String> = minor.colour.iter().cloned().collect();
            (rf - minor.rf).abs() <= WITHIN_SD * sd
                && judge_colour(spot.colour.as_deref(), &words) != ColourVerdict::Disagrees
        })
    }

    /// The only spot, else the one nearest to the expected value among those of a fitting colour.
    fn own_spot(&self, rest: &[(&EvaluatedSpot, f64)]) -> Option<u32> {
        if let [(only, _)] = rest {
            return Some(only.spot);
        }
        let centre = self.reference?.centre();
        let fits = |spot: &EvaluatedSpot| {
            judge_colour(spot.colour.as_deref(), &self.colours) != ColourVerdict::Disagrees
        };
        let some_fit = rest.iter().any(|(spot, _)| fits(spot));
        rest.iter()
            .filter(|(spot, _)| !some_fit || fits(spot))
            .min_by(|a, b| (a.1 - centre).abs().total_cmp(&(b.1 - centre).abs()))
            .map(|(spot, _)| spot.spot)
    }

    fn place(&self, spot: &EvaluatedSpot) -> SpotPlace {
        SpotPlace {
            sheet: self.kept.id.clone(),
            paper: self.lane.paper.to_string(),
            lane: self.lane.lane,
            spot: spot.spot,
        }
    }

    fn left_out(&self, spot: &EvaluatedSpot, kind: WhyLeftOut, why: String) -> LeftOut {
        LeftOut {
            dye: self.dye.to_owned(),
            place: self.place(spot),
            rf: spot.rf,
            session: self.kept.sheet.session(),
            kind,
            why,
        }
    }
}
