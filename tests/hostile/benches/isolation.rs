//! What it costs to keep a strategy in a process of its own: a lane in process, a lane in a worker
//! at 32 lanes a call, and the start of a worker.
#![expect(clippy::unwrap_used, reason = "a bench may stop at once")]

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use dyebook_hostile::BUNDLED;
use dyebook_plugin::strategy::{ColourWord, MatchRequest, Reference, ReferenceSet, Spot};
use dyebook_plugin_host::{Isolate, Plugins, Settings, StrategyHandle, WorkerProgram};

/// A class's method: 14 dyes.
fn set() -> ReferenceSet {
    let mut set = dyebook_hostile::set();
    set.references = (0_u8..14)
        .map(|number| {
            let low = 0.06 * f64::from(number);
            let mut reference = Reference::new(&format!("dye-{number}"), low, low + 0.08);
            reference.assigned_rf = Some(low + 0.04);
            reference.colours = vec![["red", "yellow", "blue"][usize::from(number) % 3].into()];
            reference
        })
        .collect();
    set.colour_words = ["red", "yellow", "blue"]
        .map(|word| ColourWord::new(word, &[]))
        .into();
    set
}

/// Lanes of four spots.
fn request(lanes: usize) -> MatchRequest {
    let ids: Vec<String> = (0..lanes).map(|number| format!("lane-{number}")).collect();
    let ids: Vec<&str> = ids.iter().map(String::as_str).collect();
    let mut request = dyebook_hostile::zero_spots(&ids);
    for (lane, number) in request.lanes.iter_mut().zip(0_u32..) {
        for spot in 1..=4 {
            let rf = f64::from((number * 37 + spot * 211) % 997) / 997.0;
            let mut spot = Spot::new(spot, rf, 0.007);
            spot.colour = Some("red".into());
            lane.spots.push(spot);
        }
    }
    request
}

fn strategy(isolate: Isolate) -> StrategyHandle {
    let mut settings = Settings::default();
    settings.isolate = isolate;
    settings.worker = WorkerProgram::at(env!("CARGO_BIN_EXE_plugin-worker"));
    let mut strategy = Plugins::new(BUNDLED, settings).strategy("nearest").unwrap();
    strategy.prepare(&set()).unwrap();
    strategy
}

fn per_lane(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("lane");
    for (name, isolate) in [("in-process", Isolate::External), ("worker", Isolate::All)] {
        for lanes in [1, 32] {
            let mut strategy = strategy(isolate);
            let request = request(lanes);
            group.throughput(Throughput::Elements(lanes as u64));
            group.bench_function(format!("{name}, {lanes} a call"), |bencher| {
                bencher.iter(|| strategy.match_lanes(&request).unwrap());
            });
        }
    }
    group.finish();
}

fn start(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("worker");
    group.sample_size(50);
    let set = set();
    group.bench_function("start and prepare", |bencher| {
        let mut settings = Settings::default();
        settings.isolate = Isolate::All;
        settings.worker = WorkerProgram::at(env!("CARGO_BIN_EXE_plugin-worker"));
        let plugins = Plugins::new(BUNDLED, settings);
        bencher.iter_batched(
            || plugins.strategy("nearest").unwrap(),
            |mut strategy| {
                strategy.prepare(&set).unwrap();
                strategy
            },
            BatchSize::PerIteration,
        );
    });
    group.finish();
}

criterion_group!(benches, per_lane, start);
criterion_main!(benches);
