//! Spot distances and fronts that stand in each other's column.

use crate::evaluated_sheet::EvaluatedLane;
use crate::known_spots::KnownSpot;
use dyebook_statistics::summary::median;

/// Fronts of one paper lie this near to each other, as a share (twice the usual limit of tilt).
const ALIKE: f64 = 0.15;

/// Where spot distances and fronts stand in each other's column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Exchanged {
    WholePaper,
    /// These lanes only; usually none.
    Lanes(Vec<u32>),
}

/// Looks for exchanged columns on one paper.
pub(crate) fn exchanged_columns(lanes: &[&EvaluatedLane], known: &[KnownSpot<'_>]) -> Exchanged {
    let with_rf: Vec<&EvaluatedLane> = lanes
        .iter()
        .copied()
        .filter(|l| l.spots.iter().any(|s| s.rf.is_some()))
        .collect();
    let all_beyond = with_rf.iter().all(|lane| is_beyond(lane, 0.0));
    if with_rf.len() >= 2 && all_beyond && whole_paper_fits(&with_rf, known) {
        return Exchanged::WholePaper;
    }
    let exchanged = with_rf
        .iter()
        .filter(|lane| is_beyond(lane, 3.0) && lane_fits(lane, lanes, known))
        .map(|lane| lane.lane)
        .collect();
    Exchanged::Lanes(exchanged)
}

/// Whether every spot of the lane lies beyond its front, by more than so many uncertainties.
fn is_beyond(lane: &EvaluatedLane, uncertainties: f64) -> bool {
    let beyond = |rf: f64, u: Option<f64>| rf > 1.0 + uncertainties * u.unwrap_or(0.0);
    lane.spots
        .iter()
        .filter_map(|spot| spot.rf.map(|rf| (rf, spot.u)))
        .all(|(rf, u)| beyond(rf, u))
}

fn fits_inverted(known: &KnownSpot<'_>) -> bool {
    known.fits(1.0 / known.rf)
}

/// With known dyes, most of them must fall into place; without, the column headed "distance" must
/// look like fronts, all nearly the same.
fn whole_paper_fits(lanes: &[&EvaluatedLane], known: &[KnownSpot<'_>]) -> bool {
    if known.is_empty() {
        let distances: Vec<f64> = lanes
            .iter()
            .flat_map(|lane| &lane.spots)
            .filter_map(|spot| spot.distance_cm)
            .collect();
        let Ok(middle) = median(&distances) else {
            return false;
        };
        return distances.len() >= 3 && distances.iter().all(|d| is_near(*d, middle));
    }
    let fitting = known.iter().filter(|known| fits_inverted(known)).count();
    fitting * 5 >= known.len() * 4
}

/// The lane's distances look like the other lanes' fronts, its front doesn't, and its dye falls into
/// place.
fn lane_fits(lane: &EvaluatedLane, lanes: &[&EvaluatedLane], known: &[KnownSpot<'_>]) -> bool {
    let others: Vec<f64> = lanes
        .iter()
        .filter(|l| l.lane != lane.lane)
        .filter_map(|l| l.front_cm)
        .collect();
    let Ok(front) = median(&others) else {
        return false;
    };
    let like_fronts = lane
        .spots
        .iter()
        .filter_map(|spot| spot.distance_cm)
        .all(|d| is_near(d, front));
    let unlike_front = lane.front_cm.is_some_and(|own| !is_near(own, front));
    let own = known.iter().find(|known| known.lane.lane == lane.lane);
    like_fronts && unlike_front && own.is_none_or(fits_inverted)
}

fn is_near(value: f64, other: f64) -> bool {
    (value - other).abs() <= ALIKE * other
}
