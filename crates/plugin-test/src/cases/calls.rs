//! D. Calls that are legal but rare, and some that are not.

use dyebook_plugin::strategy::ReferenceSet;
use dyebook_plugin_abi::{DYB_E_INVALID, DYB_E_UNSUPPORTED, DYB_OP_MATCH, DYB_OP_PREPARE};
use dyebook_plugin_host::kit;
use serde_json::{Value, json};

use crate::bench::{Bench, ask, call, good, prepare};
use crate::report::{Grade, Verdict};
use crate::samples::{self, lane, request, spot};

pub(super) fn unknown_operation(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let report = bench.steps(vec![bench.create(), call(0, 4711, "{}".into(), false)])?;
    let status = report.steps.get(1).map_or(0, |said| said.status);
    let text = format!("operation 4711 returned {status}, not {DYB_E_UNSUPPORTED}");
    Ok(Verdict::rule(
        status == DYB_E_UNSUPPORTED,
        Grade::Fail,
        text,
    ))
}

pub(super) fn match_before_prepare(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let early = ask(0, &request(vec![lane("a", Vec::new())]));
    let report = bench.steps(vec![bench.create(), early])?;
    let status = report.steps.get(1).map_or(0, |said| said.status);
    let text = format!("match before prepare returned {status}, not {DYB_E_INVALID}");
    Ok(Verdict::rule(status == DYB_E_INVALID, Grade::Fail, text))
}

fn passes(
    bench: &Bench<'_>,
    lanes: Vec<dyebook_plugin::strategy::Lane>,
) -> Result<Verdict, Verdict> {
    bench
        .answers(&samples::set(), &request(lanes))
        .map(|_| Verdict::pass())
}

pub(super) fn empty_batch(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    passes(bench, Vec::new())
}

pub(super) fn empty_set(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let lanes = request(vec![lane("a", vec![spot(1, 0.4, "red")])]);
    let set = ReferenceSet::default();
    bench.answers(&set, &lanes).map(|_| Verdict::pass())
}

pub(super) fn lane_without_spots(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    passes(
        bench,
        vec![lane("a", Vec::new()), lane("b", vec![spot(1, 0.35, "red")])],
    )
}

pub(super) fn a_thousand_spots(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let spots = (1..=1000).map(|number| spot(number, f64::from(number) / 1000.0, "red"));
    passes(bench, vec![lane("a", spots.collect())])
}

pub(super) fn spots_in_one_place(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    passes(
        bench,
        vec![lane(
            "a",
            (1..=5).map(|number| spot(number, 0.35, "red")).collect(),
        )],
    )
}

pub(super) fn extreme_numbers(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let numbers = [0.0, -0.0, 1.0, 5e-324, 1e300, -1e300, -0.2, 1.7, 0.1 + 0.2];
    let spots = (1..).zip(numbers).map(|(number, rf)| {
        let mut spot = spot(number, rf, "red");
        spot.u = Some(if number % 2 == 0 { 0.0 } else { 1e6 });
        spot
    });
    passes(bench, vec![lane("a", spots.collect())])
}

pub(super) fn strange_names(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let mut set = samples::set();
    for (reference, name) in set.references.iter_mut().zip(names()) {
        reference.dye = name;
    }
    let lanes = names()
        .into_iter()
        .map(|name| lane(&name, vec![spot(1, 0.35, "r\u{e9}d \u{1f534}")]));
    bench
        .answers(&set, &request(lanes.collect()))
        .map(|_| Verdict::pass())
}

fn names() -> Vec<String> {
    vec![
        "x".repeat(200),
        "\u{3b1}\u{301} \u{1f9ea} \u{202e}abc".into(),
        "quote\" back\\slash \u{1} \n".into(),
        "{\"id\":\"lanes\"}".into(),
        " ".into(),
    ]
}

pub(super) fn unknown_fields(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let set = samples::set();
    let lanes = request(vec![lane("a", vec![spot(1, 0.35, "red")])]);
    let with_more = |value: Result<Value, serde_json::Error>| {
        let mut value = value.unwrap_or_default();
        add_fields(&mut value);
        value.to_string()
    };
    let report = bench.steps(vec![
        bench.create(),
        call(
            0,
            DYB_OP_PREPARE,
            with_more(serde_json::to_value(&set)),
            false,
        ),
        call(
            0,
            DYB_OP_MATCH,
            with_more(serde_json::to_value(&lanes)),
            false,
        ),
    ])?;
    good(&report, 1, "`prepare` with fields of a later version")?;
    let said = good(&report, 2, "`match` with fields of a later version")?;
    kit::judge_match(&said.out, &lanes, &set)?;
    Ok(Verdict::pass())
}

/// Adds a field to every object.
fn add_fields(value: &mut Value) {
    match value {
        Value::Object(object) => {
            object.values_mut().for_each(add_fields);
            object.insert(
                "a-later-field".into(),
                json!({ "id": [1, { "spot": null }] }),
            );
        }
        Value::Array(items) => items.iter_mut().for_each(add_fields),
        _ => {}
    }
}

pub(super) fn another_set(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let lanes = request(vec![lane("a", vec![spot(1, 0.35, "red")])]);
    let (first, second) = (samples::set(), samples::other_set());
    let report = bench.steps(vec![
        bench.create(),
        prepare(0, &first),
        ask(0, &lanes),
        prepare(0, &second),
        ask(0, &lanes),
    ])?;
    good(&report, 3, "`prepare` of a second set")?;
    kit::judge_match(&good(&report, 2, "`match`")?.out, &lanes, &first)?;
    kit::judge_match(
        &good(&report, 4, "`match` after a second set")?.out,
        &lanes,
        &second,
    )?;
    Ok(Verdict::pass())
}
