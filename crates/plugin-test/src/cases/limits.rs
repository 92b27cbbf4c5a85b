//! G. Limits: a sink that refuses, a wish to stop, little memory, little time.

use dyebook_plugin_host::Kind;
use dyebook_plugin_host::kit::{Exercise, Step};

use crate::bench::{Bench, PATIENCE, ask, good, import, prepare};
use crate::random::Random;
use crate::report::{Grade, Verdict};
use crate::samples::{self, drawn};

/// A refused plug-in stops within this.
const STOPS_WITHIN_MS: u64 = 1000;
/// What a small plug-in should get by with.
const LITTLE_MB: u64 = 64;

fn steps(bench: &Bench<'_>) -> Vec<Step> {
    let mut steps = vec![bench.create()];
    match bench.component.kind {
        Kind::Strategy => {
            let lanes = drawn(32, &mut Random::new(bench.options.seed));
            steps.extend([prepare(0, &samples::set()), ask(0, &lanes)]);
        }
        Kind::Importer => steps.push(import(0)),
    }
    steps
}

fn last_ms(bench: &Bench<'_>, exercise: &Exercise) -> Result<u64, Verdict> {
    let report = bench.exercise(exercise, samples::SHEET.repeat(50).as_bytes())?;
    Ok(report.steps.last().map_or(0, |said| said.ms))
}

pub(super) fn sink_refuses(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let exercise = Exercise {
        steps: steps(bench),
        most_out: Some(64),
        ..Exercise::default()
    };
    let ms = last_ms(bench, &exercise)?;
    let text = format!("it went on for {ms} ms after its output had been refused");
    Ok(Verdict::rule(ms < STOPS_WITHIN_MS, Grade::Fail, text))
}

pub(super) fn asked_to_stop(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let exercise = Exercise {
        steps: steps(bench),
        stop_after_ms: Some(0),
        ..Exercise::default()
    };
    let ms = last_ms(bench, &exercise)?;
    let text = format!("it went on for {ms} ms after it had been asked to stop");
    Ok(Verdict::rule(ms < STOPS_WITHIN_MS, Grade::Warn, text))
}

#[expect(clippy::unnecessary_wraps, reason = "all cases have one shape")]
pub(super) fn little_memory(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let done = bench
        .subject
        .with_memory(LITTLE_MB)
        .start()
        .and_then(|mut worker| {
            let exercise = Exercise {
                steps: steps(bench),
                ..Exercise::default()
            };
            worker.exercise(&exercise, samples::SHEET.as_bytes(), PATIENCE)
        });
    Ok(match done {
        Ok(_) => Verdict::pass(),
        Err(failure) => Verdict::new(
            Grade::Note,
            format!("{LITTLE_MB} MiB are not enough: {failure}"),
        ),
    })
}

pub(super) fn time_per_lane(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let report = bench.steps(steps(bench))?;
    let ms = good(&report, 2, "match")?.ms;
    let limits = bench.subject.limits();
    let most = limits.per_item_ms * 32;
    let text = format!(
        "32 lanes took {ms} ms; its manifest asks for {} a lane",
        limits.per_item_ms
    );
    Ok(Verdict::rule(ms <= most, Grade::Warn, text))
}
