//! Time a lane takes: the strategy's own work (probabilities), with decisions and words, and what
//! the messages to and from a strategy cost beside it.
#![expect(clippy::unwrap_used, reason = "a bench may stop at once")]
#![allow(missing_docs, reason = "criterion makes the functions")]

use std::fs;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use dyebook_plugin::strategy::{
    ColourWord, Count, KnownLane, Lane, LaneAnswer, MatchRequest, MatchResponse, Question,
    Reference, ReferenceSet, Sheet, Spot, Spread, Strategy,
};
use dyebook_plugin::{Context, binary};
use dyebook_strategy_posterior::{Config, Posterior};
use serde_json::json;

/// Where questions and answers are written, for `numpy_posterior.py` beside this file.
const QUESTIONS: &str = env!("CARGO_TARGET_TMPDIR");

const HUES: [&str; 6] = ["red", "yellow", "blue", "orange", "green", "purple"];

fn set(dyes: u32) -> ReferenceSet {
    let mut set = ReferenceSet::default();
    set.colour_words = HUES.iter().map(|hue| ColourWord::new(hue, &[])).collect();
    for number in 0..dyes {
        let rf = 0.05 + 0.9 * f64::from(number) / f64::from(dyes);
        let mut reference = Reference::new(&format!("dye-{number:04}"), rf - 0.04, rf + 0.04);
        reference.assigned_rf = Some(rf);
        let (mut sd, mut count) = (Spread::default(), Count::default());
        (sd.within_paper, sd.between_papers, sd.between_sessions) =
            (Some(0.01), Some(0.01), Some(0.015));
        (count.sessions, count.papers, count.spots) = (Some(6), Some(12), Some(24));
        (reference.sd, reference.count) = (Some(sd), Some(count));
        reference.colours = vec![HUES[number as usize % HUES.len()].into()];
        set.references.push(reference);
    }
    set
}

fn spot(number: u32, rf: f64, colour: &str) -> Spot {
    let mut spot = Spot::new(number, rf, 0.007);
    spot.colour = Some(colour.into());
    spot
}

/// A lane of three dyes beside two bridging lanes, and six standards on the session's other paper.
fn question(set: &ReferenceSet) -> (Sheet, Lane) {
    let reference = |place: usize| &set.references[set.references.len() * place / 10];
    let mut sheet = Sheet::default();
    for (number, place) in (1..).zip([2, 7, 0, 1, 3, 5, 8, 9]) {
        let dye = reference(place);
        let mut known = KnownLane::default();
        known.paper = if number <= 2 { "2" } else { "1" }.into();
        (known.lane, known.role) = (number, "bridging".into());
        known.spots = vec![spot(1, dye.assigned_rf.unwrap() + 0.005, &dye.colours[0])];
        known.dyes = vec![dye.dye.clone()];
        sheet.known.push(known);
    }
    let mut lane = Lane::default();
    (lane.paper, lane.lane) = ("2".into(), 5);
    for (number, place) in (1..).zip([1, 4, 8]) {
        let dye = reference(place);
        let rf = dye.assigned_rf.unwrap() + 0.008;
        lane.spots.push(spot(number, rf, &dye.colours[0]));
    }
    (sheet, lane)
}

fn lanes(criterion: &mut Criterion) {
    for dyes in [10, 30, 100, 1000] {
        let set = set(dyes);
        let (sheet, lane) = question(&set);
        let strategy = Posterior::prepare(&Config::default(), set.clone()).unwrap();
        let context = Context::without_host();
        criterion.bench_function(&format!("{dyes} dyes, 3 spots, own work"), |bencher| {
            bencher.iter(|| {
                let question = Question::new(black_box(&lane), &sheet, &context);
                strategy.read_lane(&question).unwrap()
            });
        });
        criterion.bench_function(&format!("{dyes} dyes, 3 spots, with words"), |bencher| {
            bencher.iter(|| {
                let question = Question::new(black_box(&lane), &sheet, &context);
                strategy.match_lane(&question).unwrap()
            });
        });
        let mut request = MatchRequest::default();
        (request.sheets, request.lanes) = (vec![sheet.clone()], vec![lane.clone()]);
        let answer = strategy
            .match_lane(&Question::new(&lane, &sheet, &context))
            .unwrap();
        let id = lane.id.clone();
        let written = json!({ "set": set, "sheet": sheet, "lane": lane, "answer": answer });
        fs::write(
            format!("{QUESTIONS}/lanes-{dyes}.json"),
            written.to_string(),
        )
        .unwrap();
        let response = MatchResponse::new(vec![LaneAnswer::Answered { id, answer }]);
        criterion.bench_function(
            &format!("{dyes} dyes, 3 spots, JSON there and back"),
            |bencher| {
                bencher.iter(|| {
                    let asked = serde_json::to_vec(black_box(&request)).unwrap();
                    let heard: MatchRequest = serde_json::from_slice(&asked).unwrap();
                    let said = serde_json::to_vec(black_box(&response)).unwrap();
                    let read: MatchResponse = serde_json::from_slice(&said).unwrap();
                    (heard, read)
                });
            },
        );
        criterion.bench_function(
            &format!("{dyes} dyes, 3 spots, binary there and back"),
            |bencher| {
                bencher.iter(|| {
                    let asked = binary::write(black_box(&request)).unwrap();
                    let heard: MatchRequest = binary::read(&asked).unwrap();
                    let said = black_box(&response).to_binary().unwrap();
                    let read = MatchResponse::from_binary(&said).unwrap();
                    (heard, read)
                });
            },
        );
    }
}

criterion_group!(benches, lanes);
criterion_main!(benches);
