//! From a data sheet to lanes with a known dye and Rf with its uncertainty.

use crate::evaluated_sheet::{EvaluatedLane, EvaluatedSheet, EvaluatedSpot};
use compact_str::CompactString;
use dyebook_documents::{
    DyeLookup, DyeRegister, Lane, Measuring, Method, Role, Row, Sheet, Units, nearest_double,
    nearest_quotient,
};
use dyebook_statistics::planar::retardation_factor_uncertainty;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Lanes with resolved role and known dye, spots with Rf and its standard uncertainty.
///
/// # Shape and units
/// Distances in the sheet's units; they come out in cm. As many lanes as the sheet has, in its
/// order. Rows without a distance are spots only if something else was noted about them.
///
/// # Formula
/// ```text
/// Rf = d / F        of the decimals as written, both brought to cm exactly; then the nearest double
/// u  = √[(u_d / F)² + (Rf · u_F / F)²]
/// ```
///
/// The front is the one in the spot's own row, else the lane's. A lane without a front gets none:
/// taking it from its neighbours would hide that nobody measured it. Nothing is corrected.
///
/// # Source
/// IUPAC1993, p. 845; JCGM100, 5.1.2
///
/// # Examples
/// ```
/// use dyebook_documents::{DyeRegister, Method, Sheet};
/// let sheet: Sheet = serde_json::from_value(serde_json::json!({
///     "section": null, "group": "4", "date": null, "method": "m@1.0.0", "batch": null,
///     "units": {"distance": "cm", "front": "cm", "width": null},
///     "lanes": [{"paper": "1", "lane": 1, "label": "Q1", "role": "sample",
///                "rows": [{"distance": "4.00", "front": "8.00"}]}]
/// }))?;
/// let method: Method = serde_json::from_value(serde_json::json!({
///     "id": "m", "version": "1.0.0", "title": "invented",
///     "stationary_phase": {"material": "paper"}, "developer": {"components": []},
///     "measuring": {"convention": "centre", "distance_sd_cm": 0.05, "front_sd_cm": 0.05},
///     "references": []
/// }))?;
/// let spot = &dyebook_checks::evaluate(&sheet, &method, &DyeRegister::default()).lanes[0].spots[0];
/// assert_eq!(spot.rf, Some(0.5));
/// assert!((spot.u.unwrap_or_default() - 0.0070).abs() < 5e-5);
/// # Ok::<(), serde_json::Error>(())
/// ```
pub fn evaluate(sheet: &Sheet, method: &Method, dyes: &DyeRegister) -> EvaluatedSheet {
    let named: Vec<Named> = sheet
        .lanes
        .iter()
        .map(|lane| name_lane(lane, dyes))
        .collect();
    let samples = (sheet.lanes.iter().zip(&named))
        .filter(|(lane, named)| named.role == Role::Sample && !is_blank(&lane.label));
    let mut sampled: Vec<&str> = samples.map(|(lane, _)| lane.paper.as_str()).collect();
    // Lanes of a paper stand together.
    sampled.dedup();
    sampled.sort_unstable();
    let lanes = sheet
        .lanes
        .iter()
        .zip(named)
        .map(|(lane, named)| {
            let beside_samples = || sampled.binary_search(&lane.paper.as_str()).is_ok();
            let bridging = named.role == Role::Standard && beside_samples();
            let front = lane.front_cm(sheet.units);
            EvaluatedLane {
                paper: lane.paper.clone(),
                lane: lane.lane,
                label: lane.label.clone(),
                role: if bridging { Role::Bridging } else { named.role },
                dye: named.dye,
                choices: named.choices,
                near: named.near,
                front_cm: front.map(nearest_double),
                spots: spots(lane, front, sheet.units, &method.measuring),
            }
        })
        .collect();
    EvaluatedSheet {
        papers: sheet.papers().into_iter().map(Into::into).collect(),
        lanes,
    }
}

/// Whether a label says that nothing was spotted.
pub(crate) fn is_blank(label: &str) -> bool {
    if label.is_ascii() {
        let is_word = |word: &[u8]| word.eq_ignore_ascii_case(b"blank");
        // Nearly all labels hold no such letters, whatever their words are.
        return label.as_bytes().windows(5).any(is_word)
            && label
                .split_whitespace()
                .any(|word| is_word(word.as_bytes()));
    }
    label
        .to_lowercase()
        .split_whitespace()
        .any(|word| word == "blank")
}

/// What a label leads to.
struct Named {
    role: Role,
    dye: Option<CompactString>,
    choices: Vec<String>,
    near: Vec<String>,
}

fn name_lane(lane: &Lane, dyes: &DyeRegister) -> Named {
    let sample = |near| Named {
        role: Role::Sample,
        dye: None,
        choices: vec![],
        near,
    };
    if lane.role == Some(Role::Sample) {
        return sample(vec![]);
    }
    let role = lane.role.unwrap_or(Role::Standard);
    match dyes.find(&lane.label) {
        DyeLookup::Found(dye) => Named {
            role,
            dye: Some(CompactString::new(&dye.id)),
            choices: vec![],
            near: vec![],
        },
        DyeLookup::Ambiguous(several) => {
            let choices = several.into_iter().map(|dye| dye.id.clone()).collect();
            Named {
                role,
                dye: None,
                choices,
                near: vec![],
            }
        }
        DyeLookup::Unknown { near } if lane.role.is_some() => Named {
            role,
            dye: None,
            choices: vec![],
            near,
        },
        DyeLookup::Unknown { near } => sample(near),
    }
}

fn spots(
    lane: &Lane,
    lane_front: Option<Decimal>,
    units: Units,
    measuring: &Measuring,
) -> Vec<EvaluatedSpot> {
    let mut spots = Vec::with_capacity(lane.rows.len());
    let numbers = spot_numbers(lane);
    for (position, row) in spot_rows(lane) {
        let front = row.front_cm(units).or(lane_front);
        let distance = row.distance_cm(units);
        let (rf, unusable) = match quotient(distance, front) {
            Ok(rf) => (Some(rf), None),
            Err(reason) => (None, Some(reason)),
        };
        let width_unit = units.width.unwrap_or(units.distance);
        let width = row.width.as_ref();
        let width = width.map(|width| width_unit.to_cm(width.exact()));
        let (distance_cm, front_cm) = (distance.map(nearest_double), front.map(nearest_double));
        let spot = numbers
            .as_ref()
            .map_or(row.spot, |n| n.get(spots.len()).copied());
        spots.push(EvaluatedSpot {
            spot: spot.unwrap_or(u32::MAX),
            row: row.row,
            position,
            rf,
            u: rf.and_then(|_| reading_uncertainty(distance_cm?, front_cm?, measuring)),
            distance_cm,
            front_cm,
            colour: row.colour.clone(),
            depth: row.depth.clone(),
            shape: row.shape.clone(),
            width_rf: width.and_then(|width| quotient(Some(width), front).ok()),
            unusable,
        });
    }
    spots
}

/// The rows that are spots, with their positions.
fn spot_rows(lane: &Lane) -> impl Iterator<Item = (usize, &Row)> {
    let rows = lane.rows.iter().enumerate();
    rows.filter(|(_, row)| is_spot(row))
}

/// A row of a lane without a visible spot has neither a distance nor anything else about a spot.
fn is_spot(row: &Row) -> bool {
    let noted = [&row.colour, &row.depth, &row.shape];
    row.distance.is_some()
        || row.width.is_some()
        || row.reported_rf.is_some()
        || noted.into_iter().flatten().any(|text| !is_nothing(text))
}

fn is_nothing(text: &str) -> bool {
    matches!(
        text.trim().to_lowercase().as_str(),
        "" | "-" | "none" | "no spot" | "nothing"
    )
}

/// The numbers as written when they are distinct, each missing one the next free; else counted, so
/// that a number always means one spot of the lane. `None` where all are written and rise.
fn spot_numbers(lane: &Lane) -> Option<Vec<u32>> {
    let written = || spot_rows(lane).map(|(_, row)| row.spot);
    let all_written = written().all(|number| number.is_some());
    if all_written && written().is_sorted_by(|a, b| a < b) {
        return None;
    }
    let mut used: BTreeMap<u32, usize> = BTreeMap::new();
    for number in written().flatten() {
        *used.entry(number).or_default() += 1;
    }
    if used.values().any(|&times| times > 1) {
        return Some((1..).take(written().count()).collect());
    }
    let mut free = (1..).filter(|number| !used.contains_key(number));
    let numbers = written().map(|number| number.or_else(|| free.next()).unwrap_or(u32::MAX));
    Some(numbers.collect())
}

/// The exact quotient as the nearest double, or why there is none.
fn quotient(distance: Option<Decimal>, front: Option<Decimal>) -> Result<f64, &'static str> {
    let distance = distance.ok_or("the spot's distance is missing")?;
    let front = front.ok_or("the front of this lane is missing")?;
    if front <= Decimal::ZERO {
        return Err("the front of this lane is not above 0");
    }
    if distance < Decimal::ZERO {
        return Err("the spot's distance is below 0");
    }
    nearest_quotient(distance, front).ok_or("the distances are too large to divide")
}

fn reading_uncertainty(distance_cm: f64, front_cm: f64, measuring: &Measuring) -> Option<f64> {
    let (distance_sd, front_sd) = (measuring.distance_sd_cm?, measuring.front_sd_cm?);
    retardation_factor_uncertainty(distance_cm, front_cm, distance_sd, front_sd).ok()
}

#[cfg(test)]
mod tests {
    use crate::example::Example;
    use dyebook_documents::Role;

    #[test]
    fn rf_is_the_quotient_of_the_decimals_as_written() {
        let sheet = Example::table("1|1||Blue 1|3.24|8.00|blue").evaluated();
        assert_eq!(sheet.lanes[0].spots[0].rf, Some(0.405));
        // u(Rf) of job fixture: d = 4, F = 8, u = 0.05 gives 0.0070 (GUM, from the formula)
        let sheet = Example::table("1|1||Blue 1|4|8|blue").evaluated();
        assert!((sheet.lanes[0].spots[0].u.unwrap() - 0.0070).abs() < 5e-5);
    }

    #[test]
    fn a_standard_beside_samples_is_bridging() {
        let sheet = Example::table(
            "1|1||Red 40|3.2|8|red
             2|1||Red 40|3.2|8|red
             2|2||X7|3.2|8|red
             2|3|sample|Blue 1|3.2|8|red
             2|4|standard|my red|3.2|8|red",
        )
        .evaluated();
        let roles: Vec<Role> = sheet.lanes.iter().map(|lane| lane.role).collect();
        assert_eq!(
            roles,
            [
                Role::Standard,
                Role::Bridging,
                Role::Sample,
                Role::Sample,
                Role::Bridging
            ]
        );
        let dyes: Vec<Option<&str>> = sheet.lanes.iter().map(|lane| lane.dye.as_deref()).collect();
        assert_eq!(
            dyes,
            [
                Some("allura-red-ac"),
                Some("allura-red-ac"),
                None,
                None,
                None
            ]
        );
    }

    #[test]
    fn a_missing_front_is_not_taken_from_a_neighbour() {
        let sheet = Example::table("1|1||Red 40|3.2|8|red\n1|2||Blue 1|7.6||blue").evaluated();
        let spot = &sheet.lanes[1].spots[0];
        assert_eq!((spot.rf, spot.u), (None, None));
        assert_eq!(spot.unusable, Some("the front of this lane is missing"));
    }

    #[test]
    fn a_lane_without_a_spot_has_none_and_an_unmeasured_spot_is_one() {
        let sheet = Example::table("1|1||Red 40||8|\n1|2||Blue 1||8|blue").evaluated();
        assert!(sheet.lanes[0].spots.is_empty());
        let reason = sheet.lanes[1].spots[0].unusable;
        assert_eq!(reason, Some("the spot's distance is missing"));
    }

    #[test]
    fn spot_numbers_are_distinct() {
        let numbers = |written: &[Option<u32>]| -> Vec<u32> {
            let example = Example::clean().with(|example| {
                let rows = &mut example.sheet.lanes[0].rows;
                *rows = vec![rows[0].clone(); written.len()];
                for (row, spot) in rows.iter_mut().zip(written) {
                    row.spot = *spot;
                }
            });
            let sheet = example.evaluated();
            sheet.lanes[0].spots.iter().map(|spot| spot.spot).collect()
        };
        assert_eq!(numbers(&[Some(1), Some(3)]), [1, 3]);
        assert_eq!(numbers(&[Some(2), None, None]), [2, 1, 3]);
        assert_eq!(numbers(&[Some(1), Some(1), None]), [1, 2, 3]);
    }
}
