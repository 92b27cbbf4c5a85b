//! F. The same question has the same answer, whatever was asked before or beside it.

use dyebook_plugin::strategy::{LaneAnswer, MatchRequest};
use dyebook_plugin_host::Kind;
use dyebook_plugin_host::kit::{self, Exercise};

use crate::bench::{Bench, ask, good, import, prepare};
use crate::random::Random;
use crate::report::{Grade, Verdict};
use crate::samples::{self, drawn, request};

fn lanes(bench: &Bench<'_>) -> MatchRequest {
    drawn(32, &mut Random::new(bench.options.seed))
}

fn same(bench: &Bench<'_>, same: bool, what: &str) -> Verdict {
    let text = format!("{what} gave other bytes");
    Verdict::rule(same, of_a_difference(bench), text)
}

/// What it means that two answers to one question differ.
pub(super) fn of_a_difference(bench: &Bench<'_>) -> Grade {
    if bench.component.deterministic {
        Grade::Fail
    } else {
        Grade::Note
    }
}

pub(super) fn twice(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let mut steps = vec![bench.create()];
    match bench.component.kind {
        Kind::Strategy => {
            let lanes = lanes(bench);
            steps.extend([prepare(0, &samples::set()), ask(0, &lanes), ask(0, &lanes)]);
        }
        Kind::Importer => steps.extend([import(0), import(0)]),
    }
    let exercise = Exercise {
        steps,
        ..Exercise::default()
    };
    let report = bench.exercise(&exercise, samples::SHEET.as_bytes())?;
    let mut last = report
        .steps
        .iter()
        .rev()
        .map(|said| (said.status, &said.out, &said.err));
    Ok(same(
        bench,
        last.next() == last.next(),
        "the same request twice",
    ))
}

/// Every lane's answer as JSON.
fn each(bench: &Bench<'_>, request: &MatchRequest) -> Result<Vec<String>, Verdict> {
    let answers = bench.answers(&samples::set(), request)?;
    Ok(answers.iter().map(json).collect())
}

fn json(answer: &LaneAnswer) -> String {
    serde_json::to_string(answer).unwrap_or_default()
}

pub(super) fn batch_or_single(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let all = lanes(bench);
    let batch = each(bench, &all)?;
    let mut steps = vec![bench.create(), prepare(0, &samples::set())];
    steps.extend(
        all.lanes
            .iter()
            .map(|lane| ask(0, &request(vec![lane.clone()]))),
    );
    let report = bench.steps(steps)?;
    let mut singles = Vec::new();
    for (lane, step) in all.lanes.iter().zip(2..) {
        let one = request(vec![lane.clone()]);
        let out = &good(&report, step, "match of one lane")?.out;
        singles.extend(
            kit::judge_match(out, &one, &samples::set())?
                .iter()
                .map(json),
        );
    }
    Ok(same(bench, batch == singles, "lanes one by one"))
}

pub(super) fn shuffled(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let mut all = lanes(bench);
    let mut in_order = each(bench, &all)?;
    let mut random = Random::new(bench.options.seed ^ 0x5eed);
    for end in (1..all.lanes.len()).rev() {
        all.lanes.swap(end, random.below(end + 1));
    }
    let mut shuffled = each(bench, &all)?;
    in_order.sort();
    shuffled.sort();
    Ok(same(bench, in_order == shuffled, "another order of lanes"))
}

pub(super) fn fresh_or_used(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let all = lanes(bench);
    let fresh = bench.answer(&samples::set(), &all)?;
    let before = drawn(20, &mut Random::new(bench.options.seed + 1));
    let report = bench.steps(vec![
        bench.create(),
        prepare(0, &samples::other_set()),
        ask(0, &before),
        prepare(0, &samples::set()),
        ask(0, &before),
        ask(0, &all),
    ])?;
    let used = &good(&report, 5, "match after other requests")?.out;
    Ok(same(
        bench,
        fresh == *used,
        "an instance that had been used",
    ))
}

pub(super) fn interleaved(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let all = lanes(bench);
    let alone = bench.answer(&samples::set(), &all)?;
    let report = bench.steps(vec![
        bench.create(),
        bench.create(),
        prepare(0, &samples::set()),
        prepare(1, &samples::other_set()),
        ask(1, &all),
        ask(0, &all),
    ])?;
    let beside = &good(&report, 5, "match beside another instance")?.out;
    Ok(same(bench, alone == *beside, "another instance beside it"))
}
