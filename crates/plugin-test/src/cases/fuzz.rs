//! I. Input that nobody would write: for strategies, JSON changed in its structure; for importers,
//! files changed byte by byte. Anything may be refused; nothing may crash.

use std::time::Instant;

use dyebook_plugin_abi::DYB_OP_MATCH;
use dyebook_plugin_host::Kind;
use dyebook_plugin_host::kit::{Exercise, Step};
use serde_json::{Value, json};

use crate::bench::{Bench, call, import, prepare};
use crate::random::Random;
use crate::report::{Grade, Verdict};
use crate::samples::{self, drawn};

/// Inputs tried in one process.
const ROUND: usize = 50;

pub(super) fn run(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let begun = Instant::now();
    let mut tried = 0;
    for round in 0.. {
        // The seed of a round alone repeats it.
        let seed = bench
            .options
            .seed
            .wrapping_mul(1_000_003)
            .wrapping_add(round);
        let mut random = Random::new(seed);
        let (steps, blob) = match bench.component.kind {
            Kind::Strategy => (strategy_round(bench, &mut random), Vec::new()),
            Kind::Importer => (vec![bench.create(), import(0)], changed_bytes(&mut random)),
        };
        tried += steps.len() - 1;
        let exercise = Exercise {
            steps,
            ..Exercise::default()
        };
        let report = bench.exercise(&exercise, &blob).map_err(|verdict| {
            Verdict::new(
                verdict.grade,
                format!("round {round} of seed {seed}: {}", verdict.text),
            )
        })?;
        if let Some(said) = report.steps.iter().find(|said| said.status > 0) {
            let text = format!(
                "round {round} returned {}, which means nothing",
                said.status
            );
            return Ok(Verdict::new(Grade::Fail, text));
        }
        if begun.elapsed() >= bench.options.fuzz {
            break;
        }
    }
    Ok(Verdict::new(Grade::Pass, format!("{tried} inputs")))
}

fn strategy_round(bench: &Bench<'_>, random: &mut Random) -> Vec<Step> {
    let mut steps = vec![bench.create(), prepare(0, &samples::set())];
    for _ in 0..ROUND {
        let mut request = serde_json::to_value(drawn(3, random)).unwrap_or_default();
        for _ in 0..=random.below(4) {
            change(&mut request, random);
        }
        steps.push(call(0, DYB_OP_MATCH, request.to_string(), false));
    }
    steps
}

/// Changes one place of a value.
fn change(value: &mut Value, random: &mut Random) {
    let deeper = random.below(4) != 0;
    match value {
        Value::Object(object) if deeper && !object.is_empty() => {
            let at = random.below(object.len());
            if let Some(inner) = object.values_mut().nth(at) {
                change(inner, random);
            }
        }
        Value::Array(items) if deeper && !items.is_empty() => {
            let at = random.below(items.len());
            if let Some(inner) = items.get_mut(at) {
                change(inner, random);
            }
        }
        other => *other = strange(random),
    }
}

fn strange(random: &mut Random) -> Value {
    let nested = (0..random.below(100)).fold(json!(1), |inner, _| json!([inner]));
    let values = [
        Value::Null,
        json!(true),
        json!(-1),
        json!(1e308),
        json!(18_446_744_073_709_551_615_u64),
        json!(""),
        json!("\u{0}\u{ffff}\u{202e}"),
        json!("x".repeat(5000)),
        json!([]),
        json!({}),
        nested,
    ];
    let at = random.below(values.len());
    values.into_iter().nth(at).unwrap_or_default()
}

fn changed_bytes(random: &mut Random) -> Vec<u8> {
    let mut bytes = samples::SHEET.as_bytes().to_vec();
    for _ in 0..=random.below(20) {
        let at = random.below(bytes.len());
        let byte = random.next().to_le_bytes()[0];
        match random.below(4) {
            0 => bytes.truncate(at),
            1 => bytes.insert(at, byte),
            2 => {
                let piece: Vec<u8> = bytes.iter().skip(at).take(40).copied().collect();
                bytes.extend(piece);
            }
            _ => {
                if let Some(place) = bytes.get_mut(at) {
                    *place = byte;
                }
            }
        }
    }
    bytes
}
