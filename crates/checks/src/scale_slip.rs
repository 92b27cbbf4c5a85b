//! Values that are off by the ratio of two units: a column, a front or a single distance.

use crate::context::Context;
use crate::evaluated_sheet::{EvaluatedLane, EvaluatedSpot};
use crate::known_spots::KnownSpot;
use crate::possible_front::{possible_front, usual_front};
use dyebook_documents::{LengthUnit, Units};
use dyebook_statistics::summary::median;

/// The units of rulers.
pub(crate) const UNITS: [LengthUnit; 3] = [
    LengthUnit::Centimetre,
    LengthUnit::Millimetre,
    LengthUnit::Inch,
];

/// A dye that hardly moves shows no factor: below this, ten times too much still looks possible.
const MOVES: f64 = 0.1;

/// Values that another unit would put right.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ScaleSlip {
    pub(crate) place: SlipPlace,
    /// What the values must be multiplied by to make sense.
    pub(crate) factor: f64,
    /// The unit in which they make sense, where the factor is one.
    pub(crate) unit: Option<LengthUnit>,
}

/// Which values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SlipPlace {
    DistanceColumn,
    FrontColumn,
    Front { lane: u32 },
    Distance { lane: u32, spot: u32 },
}

/// Slips of one paper: a whole column, else single values.
pub(crate) fn scale_slips(
    context: &Context<'_>,
    lanes: &[&EvaluatedLane],
    known: &[KnownSpot<'_>],
) -> Vec<ScaleSlip> {
    let columns = column_slips(context, lanes, known);
    if !columns.is_empty() {
        return columns;
    }
    let mut slips = front_slips(context, lanes);
    let in_lane = |lane: u32, slips: &[ScaleSlip]| {
        slips
            .iter()
            .any(|slip| slip.place == SlipPlace::Front { lane })
    };
    for lane in lanes {
        if !in_lane(lane.lane, &slips) {
            slips.extend(
                lane.spots
                    .iter()
                    .filter_map(|spot| distance_slip(context, lane, spot, known)),
            );
        }
    }
    slips
}

/// One column read in another unit.
struct ColumnReading {
    place: SlipPlace,
    unit: LengthUnit,
    factor: f64,
    on_rf: f64,
    on_front: f64,
}

/// Both columns in the other units, one column at a time.
fn column_readings(units: Units) -> impl Iterator<Item = ColumnReading> {
    let other = |labelled| UNITS.into_iter().filter(move |unit| *unit != labelled);
    let distance = other(units.distance).map(move |unit| {
        let factor = unit.ratio_to(units.distance);
        ColumnReading {
            place: SlipPlace::DistanceColumn,
            unit,
            factor,
            on_rf: factor,
            on_front: 1.0,
        }
    });
    let front = other(units.front).map(move |unit| {
        let factor = unit.ratio_to(units.front);
        let on_rf = 1.0 / factor;
        ColumnReading {
            place: SlipPlace::FrontColumn,
            unit,
            factor,
            on_rf,
            on_front: factor,
        }
    });
    distance.chain(front)
}

/// Every reading of one column in another unit that puts the Rf right; the likeliest only where the
/// length of the fronts tells them apart.
fn column_slips(
    context: &Context<'_>,
    lanes: &[&EvaluatedLane],
    known: &[KnownSpot<'_>],
) -> Vec<ScaleSlip> {
    let fronts = || lanes.iter().filter_map(|lane| lane.front_cm);
    let rfs = || {
        let spots = lanes.iter().flat_map(|lane| &lane.spots);
        spots.filter_map(|spot| spot.rf)
    };
    if rfs().next().is_none() {
        return vec![];
    }
    let telling: Vec<&KnownSpot<'_>> = known
        .iter()
        .filter(|known| known.reference.centre() >= MOVES)
        .collect();
    let possible = possible_front(context.method);
    let usual = usual_front(context.method);
    let mut found: Vec<(bool, ScaleSlip)> = column_readings(context.sheet.units)
        .filter(|reading| {
            // Without known dyes only a length that can't be gives the column away.
            let impossible = || match reading.place {
                SlipPlace::DistanceColumn => any_distance_above(lanes, possible.high),
                _ => !fronts().any(|front| possible.contains(front)),
            };
            let sensible = |front: f64| possible.contains(front * reading.on_front);
            column_fits(rfs, &telling, reading.on_rf, impossible) && fronts().all(sensible)
        })
        .map(|reading| {
            let is_usual = |front: f64| usual.contains(front * reading.on_front);
            let slip = ScaleSlip {
                place: reading.place,
                factor: reading.factor,
                unit: Some(reading.unit),
            };
            (fronts().all(is_usual), slip)
        })
        .collect();
    if found.iter().any(|(is_usual, _)| *is_usual) {
        found.retain(|(is_usual, _)| *is_usual);
    }
    found.into_iter().map(|(_, slip)| slip).collect()
}

fn any_distance_above(lanes: &[&EvaluatedLane], limit: f64) -> bool {
    let distances = lanes
        .iter()
        .flat_map(|lane| &lane.spots)
        .filter_map(|spot| spot.distance_cm);
    distances.into_iter().any(|distance| distance > limit)
}

/// Whether Rf times a factor are right and Rf as they stand are not. `telling`: the known spots that
/// show a factor.
fn column_fits<R: Iterator<Item = f64>>(
    rfs: impl Fn() -> R,
    telling: &[&KnownSpot<'_>],
    factor: f64,
    impossible: impl Fn() -> bool,
) -> bool {
    if telling.len() < 2 {
        let inside = || rfs().all(|rf| (0.0..=1.05).contains(&(rf * factor)));
        let beyond = || rfs().filter(|rf| *rf > 1.05).count();
        let outside = || 2 * beyond() > rfs().count() || rfs().all(|rf| rf < MOVES);
        return outside() && inside() && impossible();
    }
    let count = |factor: f64| telling.iter().filter(|k| k.fits(k.rf * factor)).count();
    count(1.0) * 10 <= telling.len() * 3 && count(factor) * 10 >= telling.len() * 7
}

/// Factors of a single value: a decimal point, or another unit.
fn single_factors(labelled: LengthUnit) -> Vec<f64> {
    let mut factors = vec![10.0, 0.1];
    for unit in UNITS {
        let factor = unit.ratio_to(labelled);
        if unit != labelled && !factors.contains(&factor) {
            factors.push(factor);
        }
    }
    factors
}

/// The unit that a factor stands for.
fn unit_of(factor: f64, labelled: LengthUnit) -> Option<LengthUnit> {
    UNITS
        .into_iter()
        .find(|unit| (unit.ratio_to(labelled) / factor - 1.0).abs() < 1e-9)
}

/// Lanes whose front is off by a factor from the other lanes' fronts.
fn front_slips(context: &Context<'_>, lanes: &[&EvaluatedLane]) -> Vec<ScaleSlip> {
    let labelled = context.sheet.units.front;
    let fronts: Vec<f64> = lanes.iter().filter_map(|lane| lane.front_cm).collect();
    if fronts.len() < 3 {
        return vec![];
    }
    let Ok(middle) = median(&fronts) else {
        return vec![];
    };
    let near = |front: f64| (front - middle).abs() <= 0.15 * middle;
    lanes
        .iter()
        .filter_map(|lane| {
            let front = lane.front_cm.filter(|front| !near(*front))?;
            let factor = single_factors(labelled)
                .into_iter()
                .find(|f| near(front * f))?;
            let unit = unit_of(factor, labelled);
            Some(ScaleSlip {
                place: SlipPlace::Front { lane: lane.lane },
                factor,
                unit,
            })
        })
        .collect()
}

/// A distance that is ten times off: the decimal point, or mm among cm. An inch is left out: a
/// single value two and a half times off is as well another spot.
fn distance_slip(
    context: &Context<'_>,
    lane: &EvaluatedLane,
    spot: &EvaluatedSpot,
    known: &[KnownSpot<'_>],
) -> Option<ScaleSlip> {
    let rf = spot.rf?;
    let factor = if rf > 1.0 { 0.1 } else { 10.0 };
    let own = known
        .iter()
        .find(|k| k.lane.lane == lane.lane && k.spot.spot == spot.spot);
    // Two exchanged labels may look like a slip of one of them.
    let has_exchanged = |one: &KnownSpot<'_>| {
        known
            .iter()
            .any(|other| other.fits(one.rf) && one.fits(other.rf) && !other.fits(other.rf))
    };
    let slipped = match own {
        Some(known) => {
            let moves = rf > 1.0 || known.reference.centre() >= 2.0 * MOVES;
            moves && !known.fits(rf) && known.fits(rf * factor) && !has_exchanged(known)
        }
        // A sample may lie anywhere, but not at two and a half times the front.
        None => rf > 2.5 && rf * factor <= 1.05,
    };
    slipped.then(|| ScaleSlip {
        place: SlipPlace::Distance {
            lane: lane.lane,
            spot: spot.spot,
        },
        factor,
        unit: unit_of(factor, context.sheet.units.distance),
    })
}
