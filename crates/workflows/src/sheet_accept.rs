//! A reading that a finding suggests, accepted by a person: an amendment like any other.

use crate::failure::Failure;
use crate::sheet_amend::{AmendedField, keep_amended, needs_a_reason};
use crate::sheet_show::ShownSheet;
use dyebook_checks::{Column, Context, Edit, Offer, offers};
use dyebook_documents::{DyeRegister, Lane, LengthUnit, Role, Row, Sheet, WrittenDecimal};
use dyebook_library::{Library, Stamp};
use rust_decimal::{Decimal, RoundingStrategy};
use serde::Serialize;

/// Which suggestion is accepted, and why.
#[derive(Debug, Clone, Copy)]
pub struct Acceptance<'a> {
    /// Name of the finding.
    pub check: &'a str,
    /// The paper, where several show it.
    pub paper: Option<&'a str>,
    /// The lane, where several show it.
    pub lane: Option<u32>,
    /// Why, and on whose word.
    pub reason: &'a str,
}

/// A suggestion that was accepted.
#[derive(Debug, Clone, Serialize)]
pub struct Accepted {
    /// The suggestion.
    pub offer: Offer,
    /// What it changed, field by field.
    pub fields: Vec<AmendedField>,
}

/// The label of a lane of which a suggestion says only that its own label is wrong.
const NOT_KNOWN: &str = "not known";

/// Carries out the reading that a finding of the sheet suggests, and keeps it as a correction.
///
/// # Errors
/// No such finding, one that suggests nothing that can be carried out, several that the words fit.
pub fn accept_reading(
    library: &mut Library,
    dyes: &DyeRegister,
    shown: &ShownSheet,
    acceptance: Acceptance<'_>,
    stamp: &Stamp,
) -> Result<Accepted, Failure> {
    needs_a_reason(acceptance.reason)?;
    let offer = wanted(shown, dyes, acceptance)?;
    let mut sheet = shown.kept.sheet.clone();
    carry_out(&mut sheet, &offer)?;
    let reason = format!("{} (accepted: {})", acceptance.reason, offer.reading);
    let fields = keep_amended(library, &shown.kept, &sheet, &reason, stamp)?;
    Ok(Accepted { offer, fields })
}

/// The suggestions of a sheet's findings.
pub fn suggestions(shown: &ShownSheet, dyes: &DyeRegister) -> Vec<Offer> {
    offers(&Context {
        sheet: &shown.kept.sheet,
        evaluated: &shown.evaluated,
        method: &shown.method,
        method_state: shown.kept.state_when_bound,
        dyes,
        own_papers: &[],
        known_papers: &[],
        group_sheets: &[],
        today: shown.kept.sheet.date.unwrap_or_default(),
    })
}

fn wanted(
    shown: &ShownSheet,
    dyes: &DyeRegister,
    acceptance: Acceptance<'_>,
) -> Result<Offer, Failure> {
    let all = suggestions(shown, dyes);
    let on_paper = |offer: &Offer| {
        let paper = acceptance.paper;
        paper.is_none_or(|paper| offer.papers.iter().any(|one| one == paper))
    };
    let in_lane = |offer: &Offer| acceptance.lane.is_none_or(|lane| offer.lane == Some(lane));
    let fitting: Vec<&Offer> = all
        .iter()
        .filter(|offer| offer.check == acceptance.check && on_paper(offer) && in_lane(offer))
        .collect();
    match fitting.as_slice() {
        [one] => Ok((*one).clone()),
        [] => Err(not_there(shown, acceptance, &all)),
        several => Err(Failure::refused(
            "sheet.several-suggestions",
            format!("`{}` suggests more than one reading", acceptance.check),
        )
        .details(several.iter().map(|offer| in_words(offer)))
        .hint("add --paper P, and --lane N where the paper has several")),
    }
}

fn not_there(shown: &ShownSheet, acceptance: Acceptance<'_>, all: &[Offer]) -> Failure {
    let found = |check: &str| shown.checks.iter().any(|one| one.check == check);
    let elsewhere = all.iter().any(|offer| offer.check == acceptance.check);
    let failure = if found(acceptance.check) && !elsewhere {
        Failure::refused(
            "sheet.no-suggestion",
            format!(
                "`{}` says what looks wrong, not what to read instead",
                acceptance.check
            ),
        )
        .hint(format!(
            "ask the group, then correct the value: dyebook sheet amend {} --paper P --lane N --set FIELD=VALUE --reason \"…\"",
            shown.kept.id
        ))
    } else {
        let place = acceptance.paper.map(|paper| format!(" on paper {paper}"));
        let lane = acceptance.lane.map(|lane| format!(" in lane {lane}"));
        Failure::refused(
            "sheet.no-such-finding",
            format!(
                "sheet `{}` has no finding `{}`{}{}",
                shown.kept.id,
                acceptance.check,
                place.unwrap_or_default(),
                lane.unwrap_or_default()
            ),
        )
    };
    if all.is_empty() {
        return failure.detail("nothing in this sheet suggests a reading that could be accepted");
    }
    failure.details(all.iter().map(in_words))
}

/// A suggestion in a line that names what to type.
fn in_words(offer: &Offer) -> String {
    let papers = offer.papers.join(", ");
    let lane = offer.lane.map(|lane| format!(", lane {lane}"));
    format!(
        "{}  paper {papers}{}: {}",
        offer.check,
        lane.unwrap_or_default(),
        offer.reading
    )
}

fn carry_out(sheet: &mut Sheet, offer: &Offer) -> Result<(), Failure> {
    let (distance_unit, front_unit) = (sheet.units.distance, sheet.units.front);
    let old: Vec<Lane> = sheet.lanes.clone();
    let lanes = sheet.lanes.iter_mut().filter(|lane| {
        let on_paper = offer.papers.iter().any(|paper| *paper == lane.paper);
        on_paper && offer.lane.is_none_or(|number| lane.lane == number)
    });
    for lane in lanes {
        if let Edit::Relabel { lanes: pairs } = &offer.edit {
            relabel(lane, pairs, &old);
            continue;
        }
        if offer.edit == Edit::Exchange {
            every_row_has_a_front(lane)?;
        }
        for (position, row) in (1..).zip(&mut lane.rows) {
            let is_it = offer
                .spot
                .is_none_or(|spot| row.spot.unwrap_or(position) == spot);
            if !is_it {
                continue;
            }
            match &offer.edit {
                Edit::TakeOff {
                    distance_cm,
                    front_cm,
                } => {
                    shorten(&mut row.distance, *distance_cm, distance_unit);
                    shorten(&mut row.front, *front_cm, front_unit);
                }
                Edit::Exchange => exchange(row, distance_unit, front_unit),
                Edit::Times { column, factor } => match column {
                    Column::Distance => multiply(&mut row.distance, *factor),
                    Column::Front => multiply(&mut row.front, *factor),
                },
                Edit::Relabel { .. } => {}
            }
        }
    }
    Ok(())
}

/// Label and role go together: both say what was spotted.
fn relabel(lane: &mut Lane, pairs: &[(u32, Option<u32>)], old: &[Lane]) {
    let Some((_, source)) = pairs.iter().find(|(number, _)| *number == lane.lane) else {
        return;
    };
    let found = source.and_then(|source| {
        let mut lanes = old.iter();
        lanes.find(|other| other.paper == lane.paper && other.lane == source)
    });
    if let Some(other) = found {
        lane.label.clone_from(&other.label);
        lane.role = other.role;
    } else {
        lane.label = NOT_KNOWN.into();
        lane.role = Some(Role::Sample);
    }
}

fn every_row_has_a_front(lane: &Lane) -> Result<(), Failure> {
    let lacks = |row: &Row| row.distance.is_some() != row.front.is_some();
    if !lane.rows.iter().any(lacks) {
        return Ok(());
    }
    Err(Failure::refused(
        "sheet.front-missing",
        format!(
            "lane {} of paper {} has a row with only one of distance and front, so they can't be exchanged",
            lane.lane, lane.paper
        ),
    )
    .hint("amend that row by hand first"))
}

fn exchange(row: &mut Row, distance_unit: LengthUnit, front_unit: LengthUnit) {
    std::mem::swap(&mut row.distance, &mut row.front);
    if distance_unit != front_unit {
        let to_distance = front_unit.in_cm() / distance_unit.in_cm();
        scale(&mut row.distance, to_distance);
        scale(&mut row.front, Decimal::ONE / to_distance);
    }
}

/// Decimals to which a ruler of this unit is read: a tenth of a mm, a hundredth of an inch.
fn decimals(unit: LengthUnit) -> u32 {
    match unit {
        LengthUnit::Millimetre => 1,
        LengthUnit::Centimetre | LengthUnit::Inch => 2,
    }
}

/// Takes a length off, the same one off every value, with no more digits than a ruler gives.
fn shorten(value: &mut Option<WrittenDecimal>, by_cm: f64, unit: LengthUnit) {
    let Some(by) = decimal(by_cm).map(|by| round(by / unit.in_cm(), decimals(unit))) else {
        return;
    };
    if by.is_zero() {
        return;
    }
    replace(value, |written| written - by);
}

fn multiply(value: &mut Option<WrittenDecimal>, factor: f64) {
    if let Some(factor) = decimal(factor) {
        scale(value, factor);
    }
}

fn scale(value: &mut Option<WrittenDecimal>, factor: Decimal) {
    replace(value, |written| round(written * factor, 3).normalize());
}

fn replace(value: &mut Option<WrittenDecimal>, with: impl Fn(Decimal) -> Decimal) {
    if let Some(written) = value {
        let text = with(written.exact()).to_string();
        if let Ok(new) = text.parse() {
            *written = new;
        }
    }
}

fn round(value: Decimal, decimals: u32) -> Decimal {
    value.round_dp_with_strategy(decimals, RoundingStrategy::MidpointNearestEven)
}

fn decimal(value: f64) -> Option<Decimal> {
    Decimal::try_from(value).ok()
}

#[cfg(test)]
mod tests {
    use super::carry_out;
    use dyebook_checks::{Column, Edit, Offer};
    use dyebook_documents::{Lane, LengthUnit, Role, Row, Sheet, Units};

    /// One paper of three standards: distance and front as written.
    fn sheet(unit: LengthUnit, rows: &[(&str, &str, &str)]) -> Sheet {
        let lanes = (1..)
            .zip(rows)
            .map(|(lane, (label, distance, front))| Lane {
                paper: "1".into(),
                lane,
                label: (*label).into(),
                role: Some(Role::Standard),
                rows: vec![Row {
                    distance: Some(distance.parse().unwrap()),
                    front: Some(front.parse().unwrap()),
                    ..Row::default()
                }],
            });
        Sheet {
            section: None,
            group: "g".into(),
            date: None,
            method: "m@1.0.0".into(),
            batch: None,
            units: Units {
                distance: unit,
                front: unit,
                width: None,
            },
            lanes: lanes.collect(),
            remarks: vec![],
        }
    }

    fn offer(edit: Edit, lane: Option<u32>) -> Offer {
        Offer {
            check: "a-check",
            papers: vec!["1".into()],
            lane,
            spot: None,
            edit,
            reading: String::new(),
        }
    }

    fn written(sheet: &Sheet) -> Vec<(String, String, String)> {
        let rows = sheet.lanes.iter().map(|lane| {
            let text = |value: &Option<dyebook_documents::WrittenDecimal>| {
                value.as_ref().unwrap().text().to_owned()
            };
            let row = &lane.rows[0];
            (
                lane.label.to_string(),
                text(&row.distance),
                text(&row.front),
            )
        });
        rows.collect()
    }

    fn after(mut sheet: Sheet, offer: &Offer) -> Vec<(String, String, String)> {
        carry_out(&mut sheet, offer).unwrap();
        written(&sheet)
    }

    const ROWS: [(&str, &str, &str); 3] = [
        ("Red 3", "3.1", "9.50"),
        ("Red 40", "4.86", "9.5"),
        ("Blue 1", "9.1", "9.5"),
    ];

    fn owned(rows: [(&str, &str, &str); 3]) -> Vec<(String, String, String)> {
        rows.map(|(a, b, c)| (a.into(), b.into(), c.into())).into()
    }

    #[test]
    fn one_length_is_taken_off_every_value_in_the_unit_of_the_sheet() {
        let edit = Edit::TakeOff {
            distance_cm: 1.4871,
            front_cm: 1.4871,
        };
        let cm = after(
            sheet(LengthUnit::Centimetre, &ROWS),
            &offer(edit.clone(), None),
        );
        let expected = [
            ("Red 3", "1.61", "8.01"),
            ("Red 40", "3.37", "8.01"),
            ("Blue 1", "7.61", "8.01"),
        ];
        assert_eq!(cm, owned(expected));
        let rows = [
            ("Red 3", "31", "95"),
            ("Red 40", "48.6", "95"),
            ("Blue 1", "91", "95"),
        ];
        let mm = after(sheet(LengthUnit::Millimetre, &rows), &offer(edit, None));
        assert_eq!(mm[1], ("Red 40".into(), "33.7".into(), "80.1".into()));
    }

    #[test]
    fn labels_go_round_and_a_lane_of_which_nothing_is_known_says_so() {
        let lanes = vec![(1, Some(2)), (2, Some(3)), (3, None)];
        let mut slipped = sheet(LengthUnit::Centimetre, &ROWS);
        carry_out(&mut slipped, &offer(Edit::Relabel { lanes }, None)).unwrap();
        let labels: Vec<&str> = slipped.lanes.iter().map(|lane| &*lane.label).collect();
        assert_eq!(labels, ["Red 40", "Blue 1", "not known"]);
        assert_eq!(slipped.lanes[2].role, Some(Role::Sample));
    }

    #[test]
    fn one_lane_is_exchanged_and_one_value_scaled_and_the_others_stay() {
        let sheet = || sheet(LengthUnit::Centimetre, &ROWS);
        let exchanged = after(sheet(), &offer(Edit::Exchange, Some(2)));
        assert_eq!(exchanged[1], ("Red 40".into(), "9.5".into(), "4.86".into()));
        assert_eq!(exchanged[0], ("Red 3".into(), "3.1".into(), "9.50".into()));
        let (column, factor) = (Column::Distance, 0.1);
        let scaled = after(sheet(), &offer(Edit::Times { column, factor }, Some(3)));
        assert_eq!(scaled[2], ("Blue 1".into(), "0.91".into(), "9.5".into()));
    }

    #[test]
    fn a_row_without_a_front_is_not_exchanged() {
        let mut sheet = sheet(LengthUnit::Centimetre, &ROWS);
        sheet.lanes[0].rows[0].front = None;
        let refused = carry_out(&mut sheet, &offer(Edit::Exchange, None)).unwrap_err();
        assert_eq!(refused.id, "sheet.front-missing");
    }
}
