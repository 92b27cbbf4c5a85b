//! What holds for every input of a kind.

use crate::PROGRAM;
use crate::answers::hold_against_schema;
use dyebook_methods::composition::{canonical, same_liquid};
use dyebook_methods::rules::diff;
use dyebook_testkit::{Dialect, Encoding, Lab, MethodDraft, SheetCsv, Unit};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// Fixed cases, so that a run today is a run tomorrow; nothing is written beside the tests.
fn cases(number: u32) -> ProptestConfig {
    ProptestConfig {
        cases: number,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(20_260_908),
        ..ProptestConfig::default()
    }
}

/// One thing changed in a method.
fn changes() -> impl Strategy<Value = Vec<(&'static str, Value)>> {
    let one = prop_oneof![
        (1u32..40).prop_map(|n| ("/developer/components/1/amount", json!(f64::from(n) / 10.0))),
        prop_oneof![Just("% w/v"), Just("g/L")]
            .prop_map(|basis| ("/developer/components/1/basis", json!(basis))),
        "[A-Z][a-z ]{0,12}".prop_map(|title| ("/title", json!(title))),
        prop_oneof![Just("cellulose paper"), Just("silica gel")]
            .prop_map(|material| ("/stationary_phase/material", json!(material))),
        (30u32..50).prop_map(|n| ("/references/0/assigned_rf", json!(f64::from(n) / 100.0))),
        (45u32..60).prop_map(|n| (
            "/references/0/expected_rf/high",
            json!(f64::from(n) / 100.0)
        )),
        prop_oneof![Just("centre"), Just("leading-edge")]
            .prop_map(|convention| ("/measuring/convention", json!(convention))),
        (1u32..9).prop_map(|n| ("/measuring/distance_sd_cm", json!(f64::from(n) / 100.0))),
        Just(("/acceptance", json!({"front_min_cm": 5}))),
    ];
    proptest::collection::vec(one, 0..4)
}

fn changed(changes: Vec<(&str, Value)>) -> Value {
    let mut draft = MethodDraft::new("trial", "1.0.0");
    for (pointer, value) in changes {
        draft = draft.with(pointer, value);
    }
    draft.document
}

fn places(from: &Value, to: &Value) -> BTreeSet<String> {
    let diff = json!(diff(from, to));
    let changes = diff["changes"].as_array().unwrap().iter();
    changes
        .map(|change| change["path"].as_str().unwrap().to_owned())
        .collect()
}

proptest! {
    #![proptest_config(cases(200))]

    /// What is a change one way is one the other way, and nothing else is.
    #[test]
    fn a_diff_finds_the_same_places_in_both_directions(one in changes(), other in changes()) {
        let (one, other) = (changed(one), changed(other));
        prop_assert_eq!(places(&one, &other), places(&other, &one));
        prop_assert!(places(&one, &one).is_empty());
        prop_assert_eq!(places(&one, &other).is_empty(), one == other || same_but_for_writing(&one, &other));
    }

    #[test]
    fn the_canonical_form_of_parts_and_percentages_is_its_own(
        parts in proptest::collection::vec(1u32..60, 2..4),
        salt in 1u32..80,
    ) {
        let names = ["butan-1-ol", "ethanol", "water"];
        let mixed: Vec<Value> = names.iter().zip(&parts)
            .map(|(name, part)| json!({"substance": name, "amount": part, "basis": "parts v"}))
            .collect();
        let salted = json!([
            {"substance": "water", "make_up_to_volume": true},
            {"substance": "sodium chloride", "amount": f64::from(salt) / 10.0, "basis": "% w/v"},
        ]);
        for components in [json!(mixed), salted] {
            let composition = serde_json::from_value(json!({"components": components})).unwrap();
            let once = canonical(&composition).unwrap();
            let twice = canonical(&once.to_composition()).unwrap();
            prop_assert_eq!(&once.substances, &twice.substances);
            prop_assert!(same_liquid(&once, &twice));
        }
    }
}

/// Two ways of writing one amount are no change of the liquid.
fn same_but_for_writing(one: &Value, other: &Value) -> bool {
    let without_amount = |document: &Value| {
        let mut document = document.clone();
        document["developer"]["components"][1] = Value::Null;
        document
    };
    let form = |document: &Value| {
        canonical(&serde_json::from_value(document["developer"].clone()).unwrap()).unwrap()
    };
    without_amount(one) == without_amount(other) && same_liquid(&form(one), &form(other))
}

/// A sheet with anything in it that a group may write.
fn sheets() -> impl Strategy<Value = SheetCsv> {
    let words = prop_oneof![
        Just("Red 40"),
        Just("E102"),
        Just("blue sweet"),
        Just("Azorubin S"),
        Just("Müsli rosé"),
        Just("<b>&amp;"),
        Just("=1+1"),
        Just("日本"),
    ];
    let colours = prop_oneof![
        Just("red"),
        Just("yellow"),
        Just(""),
        Just("tan"),
        Just("BLUE")
    ];
    let roles = prop_oneof![Just("standard"), Just("sample"), Just("")];
    let row = (
        1u32..3,
        roles,
        1u32..5,
        words,
        0u32..900,
        300u32..900,
        colours,
    );
    proptest::collection::vec(row, 1..9).prop_map(|rows| {
        rows.into_iter().fold(
            SheetCsv::empty("wren"),
            |sheet, (paper, role, lane, label, d, f, colour)| {
                let [d, f] = [d, f].map(|hundredths| f64::from(hundredths) / 100.0);
                sheet.spot(&format!("paper-{paper}"), role, lane, label, d, f, colour)
            },
        )
    })
}

fn dialects() -> impl Strategy<Value = Dialect> {
    let separators = prop_oneof![Just(','), Just(';'), Just('\t')];
    let encodings = prop_oneof![
        Just(Encoding::Utf8),
        Just(Encoding::Utf8WithMark),
        Just(Encoding::Utf16Le),
        Just(Encoding::Utf16Be),
    ];
    let units = prop_oneof![
        Just(Unit::Centimetre),
        Just(Unit::Millimetre),
        Just(Unit::MillimetreInBrackets),
        Just(Unit::Inch),
    ];
    (separators, encodings, units, any::<[bool; 4]>()).prop_map(
        |(separator, encoding, unit, [decimal_comma, crlf, turned_header, remarks])| Dialect {
            separator,
            decimal_comma,
            crlf,
            encoding,
            unit,
            turned_header,
            remarks,
        },
    )
}

proptest! {
    // Each case starts the program several times.
    #![proptest_config(cases(24))]

    /// Whatever a group hands in: taken once, or refused with nothing written; every answer is what
    /// its schema promises; the library stays sound.
    #[test]
    fn importing_twice_is_the_same_as_once(sheet in sheets(), dialect in dialects()) {
        let lab = Lab::ready(PROGRAM);
        lab.write("sheet.csv", sheet.bytes_in(dialect));
        let start = lab.head_of_history();
        let import = ["sheet", "import", "sheet.csv", "--json"];
        let first = lab.run(&import);
        let head = lab.head_of_history();
        let second = lab.run(&import);
        prop_assert_eq!(second.code, first.code);
        prop_assert_eq!(lab.head_of_history(), head.clone());
        if first.code == 3 {
            hold_against_schema("answer-error", &first.json());
            prop_assert_eq!(head, start);
            return Ok(());
        }
        prop_assert!([0, 1].contains(&first.code), "{:?}", first);
        let (first, second) = (first.json(), second.json());
        hold_against_schema("answer-sheet-import", &first);
        for (taken, again) in first["sheets"].as_array().unwrap().iter().zip(second["sheets"].as_array().unwrap()) {
            prop_assert_eq!(&taken["new"], &json!(true));
            prop_assert_eq!(&again["new"], &json!(false));
            prop_assert_eq!(&again["checks"], &taken["checks"]);
        }
        hold_against_schema("answer-identify", &lab.run(&["identify", "--all", "--json"]).json());
        prop_assert_eq!(&lab.answer(0, &["library", "verify"])["sound"], &json!(true));
    }
}
