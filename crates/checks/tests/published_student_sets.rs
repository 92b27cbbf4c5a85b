//! Two published sets of student data, as kept in `tests/published/student/` with their sources:
//! A antiessays.com/free-essays/Chromatography-Of-Food-Dyes-330711.html,
//! B studymode.com/essays/Chromotography-Of-Food-Dye-49186959.html.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test; clippy sees that only in `#[test]` functions"
)]

use dyebook_checks::{Context, evaluate, run_checks};
use dyebook_documents::{
    Check, DyeRegister, Lane, LengthUnit, Method, MethodState, Role, Row, Severity, Sheet, Units,
};
use jiff::civil::date;

const A: &str = include_str!("../../../tests/published/student/student-a.csv");
const B: &str = include_str!("../../../tests/published/student/student-b.csv");

/// The files have no quoted fields, so a split reads them.
fn sheet(csv: &str) -> Sheet {
    let mut sheet = Sheet {
        section: None,
        group: "published".into(),
        date: None,
        method: "student-a@1.0.0".into(),
        batch: None,
        units: Units {
            distance: LengthUnit::Millimetre,
            front: LengthUnit::Millimetre,
            width: None,
        },
        lanes: vec![],
        remarks: vec![],
    };
    let lines = csv
        .lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty());
    for line in lines.skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let [
            _,
            _,
            paper,
            role,
            lane,
            label,
            spot,
            distance,
            front,
            colour,
            rf,
        ] = fields[..]
        else {
            panic!("eleven fields: {line}")
        };
        let row = Row {
            spot: Some(spot.parse().unwrap()),
            distance: Some(distance.parse().unwrap()),
            front: Some(front.parse().unwrap()),
            colour: (!colour.is_empty()).then(|| colour.into()),
            reported_rf: Some(rf.parse().unwrap()),
            ..Row::default()
        };
        let lane: u32 = lane.parse().unwrap();
        match sheet.lanes.last_mut() {
            Some(last) if last.paper == paper && last.lane == lane => last.rows.push(row),
            _ => sheet.lanes.push(Lane {
                paper: paper.into(),
                lane,
                label: label.into(),
                role: (role == "standard")
                    .then_some(Role::Standard)
                    .or(Some(Role::Sample)),
                rows: vec![row],
            }),
        }
    }
    sheet
}

fn findings(csv: &str) -> Vec<Check> {
    let method = include_str!("../../../tests/published/student/student-a.json");
    let method: Method = serde_json::from_str(method).unwrap();
    let dyes = include_str!("../../../references/dyes.json");
    let dyes = DyeRegister::new(serde_json::from_str::<Vec<_>>(dyes).unwrap());
    let sheet = sheet(csv);
    run_checks(&Context {
        sheet: &sheet,
        evaluated: &evaluate(&sheet, &method, &dyes),
        method: &method,
        method_state: MethodState::Approved,
        dyes: &dyes,
        own_papers: &[],
        known_papers: &[],
        group_sheets: &[],
        today: date(2026, 3, 10),
    })
}

fn of<'a>(findings: &'a [Check], id: &str) -> Vec<&'a Check> {
    findings.iter().filter(|check| check.check == id).collect()
}

#[test]
fn the_wrong_unit_of_set_b_is_named() {
    let found = findings(B);
    let units = of(&found, "unit-label");
    assert!(!units.is_empty(), "{found:#?}");
    for check in units {
        assert_eq!(check.severity, Severity::Warn);
        assert!(check.message.contains("a front of 4 mm"), "{check:?}");
        assert!(
            check.alternatives[0].contains("in cm: the front is then 4.0 cm"),
            "{check:?}"
        );
    }
    assert!(of(&found, "front-length").is_empty() && of(&found, "column-scale").is_empty());
}

#[test]
fn the_exchanged_order_of_the_two_yellows_in_set_b_is_seen() {
    let found = findings(B);
    let yellows: Vec<_> = of(&found, "rank-order-inverted");
    let yellows: Vec<_> = yellows
        .into_iter()
        .filter(|c| c.message.contains("Yellow 5") && c.message.contains("Yellow 6"))
        .collect();
    let [check] = yellows[..] else {
        panic!("one finding: {found:#?}")
    };
    assert_eq!(check.severity, Severity::Warn);
    assert!(check.alternatives[0].contains("exchanged"), "{check:?}");
    assert!(
        check.alternatives[1].contains("developing solvent"),
        "{check:?}"
    );
}

#[test]
fn set_a_against_its_own_values_has_a_cut_rf_and_level_fronts_and_no_more() {
    let found = findings(A);
    let cut = of(&found, "reported-rf");
    assert_eq!(cut.len(), 1, "19 of 48 is 0.396, reported 0.39: {cut:#?}");
    assert!(cut[0].message.contains("0.39 is cut"), "{cut:?}");
    assert!(
        of(&found, "front-same-in-all-lanes")
            .iter()
            .all(|c| c.severity == Severity::Ask)
    );
    assert!(
        found.iter().all(|check| check.severity <= Severity::Ask),
        "{found:#?}"
    );
}

#[test]
fn standards_of_set_b_outside_the_ranges_of_set_a_are_named() {
    // 0.80 against 1.00 and 0.30 against 0.42 (the sets' own recomputed Rf).
    let found = findings(B);
    let outside: Vec<u32> = of(&found, "standard-outside-range")
        .iter()
        .filter(|check| check.severity == Severity::Warn)
        .filter_map(|check| check.place.lane)
        .collect();
    assert!(outside.contains(&1) && outside.contains(&4), "{found:#?}");
}
