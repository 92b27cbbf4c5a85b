//! What a coordinator waits for: the program's start, taking in a term's rows, identifying lanes.
//!
//! `cargo bench -p dyebook`. Import is told a row, identify a lane: the figures under `thrpt`.

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use dyebook_library::KeptSheet;
use dyebook_plugin_host::{Plugins, Settings};
use dyebook_testkit::{BY, Lab, SheetCsv, TemporaryLibrary, stamp};
use dyebook_workflows::{
    BUNDLED, HandedIn, IdentifyRequest, PluginMatcher, ReadFile, Replacement, Unwatched, identify,
    import_sheets, read_file,
};
use std::hint::black_box;

const ROWS: u64 = 1_000;
const ROWS_OF_A_SHEET: u64 = 6;

fn start(criterion: &mut Criterion) {
    let lab = Lab::ready(env!("CARGO_BIN_EXE_dyebook"));
    let mut group = criterion.benchmark_group("start");
    group.bench_function("help", |b| b.iter(|| black_box(lab.done(&["--help"]))));
    group.bench_function("library status", |b| {
        b.iter(|| black_box(lab.done(&["library", "status", "--by", BY])));
    });
    group.finish();
}

/// A file of a thousand rows, as many groups as that takes.
fn thousand_rows() -> HandedIn {
    let mut text = String::new();
    for number in 0..ROWS / ROWS_OF_A_SHEET {
        let sheet = SheetCsv::clean(&format!("group-{number}"));
        let sheet = sheet
            .other_readings(u32::try_from(number).unwrap_or_default())
            .text();
        let (header, rows) = sheet.split_once('\n').unwrap_or_default();
        if text.is_empty() {
            text += header;
            text += "\n";
        }
        text += rows;
    }
    HandedIn {
        name: "term.csv".to_owned(),
        bytes: text.into_bytes(),
    }
}

#[expect(
    clippy::unwrap_used,
    reason = "a bench stops where its preparation fails"
)]
fn import(criterion: &mut Criterion) {
    let plugins = Plugins::new(BUNDLED, Settings::default());
    let handed = thousand_rows();
    let mut group = criterion.benchmark_group("import a row");
    group.throughput(Throughput::Elements(ROWS));
    group.sample_size(20);
    group.bench_function("read", |b| {
        b.iter(|| read_file(&plugins, black_box(&handed), None, &[]).unwrap());
    });
    let file: Vec<(HandedIn, ReadFile)> = {
        let read = read_file(&plugins, &handed, None, &[]).unwrap();
        vec![(handed, read)]
    };
    group.bench_function("check and keep", |b| {
        b.iter_batched(
            || TemporaryLibrary::new().approved("harrow-saline@1.0.0"),
            |mut lab| {
                let none = Replacement::default();
                import_sheets(&mut lab.library, &stamp(), &file, none, &Unwatched).unwrap();
                lab
            },
            BatchSize::PerIteration,
        );
    });
    group.finish();
}

#[expect(
    clippy::unwrap_used,
    reason = "a bench stops where its preparation fails"
)]
fn identities(criterion: &mut Criterion) {
    let plugins = Plugins::new(BUNDLED, Settings::default());
    let mut lab = TemporaryLibrary::new().approved("harrow-saline@1.0.0");
    let handed = thousand_rows();
    let read = read_file(&plugins, &handed, None, &[]).unwrap();
    let none = Replacement::default();
    let report = import_sheets(
        &mut lab.library,
        &stamp(),
        &[(handed, read)],
        none,
        &Unwatched,
    )
    .unwrap();
    let sheets: Vec<KeptSheet> = report
        .sheets
        .iter()
        .map(|sheet| lab.library.sheet(&sheet.id, None).unwrap().unwrap())
        .collect();
    let dyes = lab.library.dye_register().unwrap();
    let lanes: usize = sheets.iter().map(|kept| kept.sheet.lanes.len()).sum();
    let mut group = criterion.benchmark_group("identify a lane");
    group.throughput(Throughput::Elements(lanes as u64));
    group.sample_size(20);
    for strategy in ["range", "nearest"] {
        let mut matcher = PluginMatcher::new(&plugins, strategy, &[]).unwrap();
        let request = IdentifyRequest {
            sheets: &sheets,
            method: None,
            across_versions: None,
        };
        group.bench_function(strategy, |b| {
            b.iter(|| identify(&lab.library, &dyes, &mut matcher, request).unwrap());
        });
    }
    group.finish();
}

criterion_group!(benches, start, import, identities);
criterion_main!(benches);
