//! Bundled plug-ins through the same table, checks and messages as external ones.

use dyebook_plugin::strategy::{
    ColourWord, Decision, Lane, MatchRequest, MethodVersion, Reference, ReferenceSet, Sheet, Spot,
};
use dyebook_plugin_host::{Bundled, Failure, ImportOutcome, Plugins, Settings};

const BUNDLED: Bundled = &[
    (
        &dyebook_strategy_range::PLUGIN,
        dyebook_strategy_range::MANIFEST,
    ),
    (
        &dyebook_strategy_nearest::PLUGIN,
        dyebook_strategy_nearest::MANIFEST,
    ),
    (
        &dyebook_importer_sheet::PLUGIN,
        dyebook_importer_sheet::MANIFEST,
    ),
];

fn plugins() -> Plugins {
    Plugins::new(BUNDLED, Settings::default())
}

/// Invented values.
fn set() -> ReferenceSet {
    let mut set = ReferenceSet::default();
    set.method = MethodVersion::new("saline-paper", "1.0.0", "00");
    let mut red = Reference::new("allura-red-ac", 0.36, 0.45);
    red.colours = vec!["red".into()];
    let mut blue = Reference::new("brilliant-blue-fcf", 0.40, 0.50);
    blue.colours = vec!["blue".into()];
    set.references = vec![red, blue];
    set.colour_words = vec![
        ColourWord::new("red", &["pink"]),
        ColourWord::new("blue", &[]),
    ];
    set
}

fn request(lanes: usize) -> MatchRequest {
    let mut request = MatchRequest::default();
    let mut sheet = Sheet::default();
    sheet.sheet = "S".into();
    request.sheets.push(sheet);
    for number in 0..lanes {
        let mut lane = Lane::default();
        lane.id = format!("L{number}").into();
        lane.sheet = "S".into();
        lane.paper = "P1".into();
        lane.lane = 1;
        lane.role = "sample".into();
        let mut spot = Spot::new(1, 0.43, 0.008);
        spot.colour = Some("red".into());
        lane.spots.push(spot);
        request.lanes.push(lane);
    }
    request
}

#[test]
fn both_strategies_answer_70_lanes_in_order_and_twice_alike() {
    for name in ["range", "nearest"] {
        let mut strategy = plugins().strategy(name).unwrap();
        strategy.prepare(&set()).unwrap();
        let once = strategy.match_lanes(&request(70)).unwrap();
        let again = strategy.match_lanes(&request(70)).unwrap();
        assert_eq!(once, again);
        let ids: Vec<&str> = once.iter().map(|outcome| outcome.id.as_str()).collect();
        assert_eq!(ids, (0..70).map(|n| format!("L{n}")).collect::<Vec<_>>());
        let answer = once[0].answer.as_ref().unwrap();
        assert_eq!(answer.spots[0].decision, Decision::Identified);
        assert_eq!(answer.dyes[0].dye, "allura-red-ac");
        assert_eq!(strategy.provenance().digest.len(), 64);
    }
}

#[test]
fn a_bundled_strategy_is_found_by_its_short_and_its_long_name() {
    assert_eq!(plugins().strategy("range").unwrap().id(), "range");
    assert_eq!(
        plugins()
            .strategy("dyebook.strategy-range/range")
            .unwrap()
            .id(),
        "range"
    );
    let error = plugins().strategy("farthest").unwrap_err();
    assert_eq!(error.id(), "plugin.not_found");
    assert!(error.to_string().contains("`range`"), "{error}");
    assert!(matches!(
        plugins().strategy("sheet").unwrap_err().failure,
        Failure::NotFound { .. }
    ));
}

#[test]
fn parameters_reach_the_strategy_and_the_provenance() {
    let mut strategy = plugins().strategy("range").unwrap();
    assert_eq!(strategy.parameters()["k"], 2);
    strategy = strategy.with_parameters(&["k=0".into()]).unwrap();
    strategy.prepare(&set()).unwrap();
    let mut far = request(1);
    far.lanes[0].spots[0].rf = Some(0.455);
    let outcome = strategy.match_lanes(&far).unwrap();
    assert_eq!(
        outcome[0].answer.as_ref().unwrap().spots[0].decision,
        Decision::NotInReferenceSet
    );
    assert_eq!(strategy.provenance().parameters["k"], 0);
}

#[test]
fn match_before_prepare_is_refused() {
    let mut strategy = plugins().strategy("range").unwrap();
    assert_eq!(
        strategy.match_lanes(&request(1)).unwrap_err().id(),
        "plugin.protocol"
    );
}

#[test]
fn a_csv_file_finds_its_importer_and_is_read_or_refused_whole() {
    let good = b"group,method,paper,lane,label,distance_cm,front_cm\nA,m@1.0.0,P1,1,Red,3.40,8.0\n";
    let importer = plugins().importer_for("a.csv", good).unwrap();
    assert_eq!(importer.id(), "sheet");
    let ImportOutcome::Imported(read) = importer.import("a.csv", good).unwrap() else {
        panic!("refused")
    };
    assert_eq!(read.rows[0].distance.as_deref(), Some("3.40"));
    assert_eq!(read.rows[0].row, 2);

    let bad = b"group,method,paper,lane,label,distance_cm,front\nA,m@1.0.0,P1,1,Red,x,8.0\nA\n";
    let ImportOutcome::Refused { problems } = importer.import("a.csv", bad).unwrap() else {
        panic!("taken")
    };
    assert_eq!(problems.len(), 3, "{problems:?}");
    assert!(
        plugins()
            .importer_for("a.png", b"\x89PNG\r\n\x1a\n\0")
            .is_err()
    );
}
