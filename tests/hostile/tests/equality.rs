//! The same strategy gives the same bytes wherever it runs: linked in, linked in within a worker,
//! and as an external library. And a strategy in C stands beside the ones in Rust.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use std::fs;
use std::path::{Path, PathBuf};

use dyebook_hostile::Lab;
use dyebook_plugin::strategy::{
    ColourWord, Decision, Lane, MatchRequest, Reference, ReferenceSet, Spot, Spread,
};
use dyebook_plugin_host::{ImportOutcome, Isolate, Plugins};

const WORKER: &str = env!("CARGO_BIN_EXE_plugin-worker");

/// Where cargo puts the libraries of dev-dependencies: beside the test programs.
fn library(name: &str) -> PathBuf {
    let beside = std::env::current_exe().unwrap();
    let folder = beside.parent().unwrap();
    [folder, folder.parent().unwrap()]
        .iter()
        .map(|folder| folder.join(format!("lib{name}.so")))
        .find(|path| path.exists())
        .unwrap()
}

/// Installs a bundled plug-in's library under an id of its own: `dyebook.…` is reserved, so the id
/// is changed in the manifest and, byte for byte as long, in the library.
fn install(lab: &Lab, name: &str, manifest: &str, id: &str, new_id: &str) {
    assert_eq!(id.len(), new_id.len());
    let folder = lab.plugin(new_id);
    fs::create_dir_all(&folder).unwrap();
    let mut bytes = fs::read(library(name)).unwrap();
    let mut at = 0;
    while let Some(found) = bytes[at..]
        .windows(id.len())
        .position(|part| part == id.as_bytes())
    {
        bytes[at + found..at + found + id.len()].copy_from_slice(new_id.as_bytes());
        at += found + id.len();
    }
    fs::write(folder.join("libplugin.so"), bytes).unwrap();
    fs::write(folder.join("manifest.json"), manifest.replace(id, new_id)).unwrap();
    dyebook_plugin_host::seal(&folder).unwrap();
    lab.approve(new_id);
}

/// Invented values, drawn by a fixed rule.
fn set() -> ReferenceSet {
    let mut set = dyebook_hostile::set();
    set.references.clear();
    for (number, colour) in [
        (1_u32, "red"),
        (2, "yellow"),
        (3, "blue"),
        (4, "red"),
        (5, "green"),
    ] {
        let low = 0.13 * f64::from(number);
        let mut reference = Reference::new(&format!("dye-{number}"), low, low + 0.17);
        reference.colours = vec![colour.into()];
        reference.assigned_rf = (number != 3).then_some(low + 0.08);
        let mut sd = Spread::default();
        sd.within_paper = Some(0.01);
        sd.between_sessions = Some(0.02 / f64::from(number));
        reference.sd = (number % 2 == 0).then_some(sd);
        set.references.push(reference);
    }
    set.colour_words = ["red", "yellow", "blue", "green"]
        .map(|w| ColourWord::new(w, &[]))
        .into();
    set
}

fn request() -> MatchRequest {
    let mut request = dyebook_hostile::zero_spots(&[]);
    for number in 0..75_u32 {
        let mut lane = Lane::default();
        lane.id = format!("lane {number} \u{3b1}\"").into();
        lane.sheet = "S".into();
        lane.paper = "P1".into();
        lane.lane = number + 1;
        lane.role = "sample".into();
        for spot_number in 1..=number % 4 {
            let rf = f64::from((number * 37 + spot_number * 211) % 997) / 997.0;
            let mut spot = Spot::new(spot_number, rf, 0.007);
            spot.colour = ["red", "yellow", "teal"]
                .get(number as usize % 4)
                .map(|&c| c.into());
            spot.shape = (number == 11).then(|| "streak".into());
            spot.rf = (number != 13).then_some(rf);
            lane.spots.push(spot);
        }
        request.lanes.push(lane);
    }
    request
}

fn answers(plugins: &Plugins, name: &str) -> String {
    let mut strategy = plugins.strategy(name).unwrap();
    strategy.prepare(&set()).unwrap();
    let outcomes = strategy.match_lanes(&request()).unwrap();
    assert!(outcomes.iter().all(|outcome| outcome.answer.is_ok()));
    serde_json::to_string(&outcomes).unwrap()
}

#[test]
fn linked_in_in_a_worker_and_as_a_library() {
    let mut lab = Lab::new(WORKER);
    let range = dyebook_strategy_range::MANIFEST;
    let nearest = dyebook_strategy_nearest::MANIFEST;
    install(
        &lab,
        "dyebook_strategy_range_so",
        range,
        "dyebook.strategy-range",
        "example.strategy-range",
    );
    install(
        &lab,
        "dyebook_strategy_nearest_so",
        nearest,
        "dyebook.strategy-nearest",
        "example.strategy-nearest",
    );
    for name in ["range", "nearest"] {
        lab.settings.isolate = Isolate::External;
        let in_process = answers(&lab.plugins(), name);
        let external = answers(&lab.plugins(), &format!("example.strategy-{name}/{name}"));
        lab.settings.isolate = Isolate::All;
        let worker = answers(&lab.plugins(), name);
        lab.settings.isolate = Isolate::PerCall;
        let per_call = answers(&lab.plugins(), name);
        assert_eq!(in_process, worker);
        assert_eq!(in_process, external);
        assert_eq!(in_process, per_call);
    }
}

#[test]
fn an_importer_reads_the_same_wherever_it_runs() {
    let mut lab = Lab::new(WORKER);
    let manifest = dyebook_importer_sheet::MANIFEST;
    install(
        &lab,
        "dyebook_importer_sheet_so",
        manifest,
        "dyebook.importer-sheet",
        "example.importer-sheet",
    );
    let head = "group;method;paper;lane;label;distance_cm;front_cm\n";
    let good = format!("{head}{}", "A;m@1.0.0;P1;1;Red;3,40;8,0\n".repeat(2000));
    let bad = format!("{head}A;m@1.0.0;P1;1;Red;x;8,0\n");
    for text in [good, bad] {
        let read = |lab: &Lab, name: &str| -> ImportOutcome {
            lab.plugins()
                .importer(name)
                .unwrap()
                .import("a.csv", text.as_bytes())
                .unwrap()
        };
        lab.settings.isolate = Isolate::External;
        let in_process = read(&lab, "sheet");
        assert_eq!(in_process, read(&lab, "example.importer-sheet/sheet"));
        lab.settings.isolate = Isolate::All;
        assert_eq!(in_process, read(&lab, "sheet"));
    }
}

#[test]
fn a_strategy_in_c_of_less_than_120_lines_decides_like_the_one_in_rust() {
    let lab = Lab::new(WORKER);
    let folder = Path::new(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../plugins/example-c"
    ));
    let source = folder.join("strategy.c");
    assert!(fs::read_to_string(&source).unwrap().lines().count() < 120);
    let id = "org.example.example-c";
    lab.compile(&source, id, &["-Wall", "-Wextra", "-Werror"]);
    fs::copy(
        folder.join("manifest.json"),
        lab.plugin(id).join("manifest.json"),
    )
    .unwrap();
    dyebook_plugin_host::seal(&lab.plugin(id)).unwrap();
    lab.approve(id);
    let mut set = set();
    for reference in &mut set.references {
        reference.colours.clear();
    }
    let mut in_c = lab.plugins().strategy("example-c").unwrap();
    in_c.prepare(&set).unwrap();
    let none = vec!["k=0".to_owned()];
    let mut in_rust = lab
        .plugins()
        .strategy("range")
        .unwrap()
        .with_parameters(&none)
        .unwrap();
    in_rust.prepare(&set).unwrap();
    let c = in_c.match_lanes(&request()).unwrap();
    let rust = in_rust.match_lanes(&request()).unwrap();
    let mut seen = 0;
    for (lane, (c, rust)) in request().lanes.iter().zip(c.iter().zip(&rust)) {
        let (c, rust) = (c.answer.as_ref().unwrap(), rust.answer.as_ref().unwrap());
        for (spot, (c, rust)) in lane.spots.iter().zip(c.spots.iter().zip(&rust.spots)) {
            if spot.shape.is_none() {
                assert_eq!(c.decision, rust.decision, "{spot:?}");
                seen += usize::from(c.decision == Decision::Identified);
            }
        }
    }
    assert!(seen > 5, "{seen}");
}
