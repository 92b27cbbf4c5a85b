//! Corrections and their guards. The constructed run is that of the published reference set TC
//! (hRf 11, 36, 54, 71; Clarke's list) as in `tests/published/planar/clarke-correction.json`.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use dyebook_plugin::Context;
use dyebook_plugin::strategy::{
    ColourVerdict, ColourWord, Decision, KnownLane, Lane, MinorSpot, Question, Reference,
    ReferenceSet, Sheet, Spot, SpotAnswer, Spread, Strategy,
};
use dyebook_strategy_co_run::{CoRun, Config, Form};

fn set(dyes: &[(&str, f64, &str)]) -> ReferenceSet {
    let mut set = ReferenceSet::default();
    set.colour_words = ["red", "yellow", "blue", "green"]
        .map(|word| ColourWord::new(word, &[]))
        .to_vec();
    for (dye, rf, colour) in dyes {
        let mut reference = Reference::new(dye, rf - 0.05, rf + 0.05);
        reference.assigned_rf = Some(*rf);
        let mut sd = Spread::default();
        (sd.within_paper, sd.between_papers) = (Some(0.01), Some(0.015));
        reference.sd = Some(sd);
        reference.colours = vec![(*colour).into()];
        set.references.push(reference);
    }
    set
}

fn tc() -> ReferenceSet {
    set(&[
        ("a", 0.11, "red"),
        ("b", 0.36, "red"),
        ("c", 0.54, "red"),
        ("d", 0.71, "red"),
    ])
}

fn known(paper: &str, dye: &str, rf: f64) -> KnownLane {
    let mut known = KnownLane::default();
    (known.paper, known.lane, known.role) = (paper.into(), 1, "bridging".into());
    (known.dyes, known.spots) = (vec![dye.into()], vec![Spot::new(1, rf, 0.005)]);
    known
}

fn ask(config: &Config, set: ReferenceSet, known: Vec<KnownLane>, spot: Spot) -> SpotAnswer {
    let strategy = CoRun::prepare(config, set).unwrap();
    let mut lane = Lane::default();
    (lane.paper, lane.lane, lane.spots) = ("2".into(), 9, vec![spot]);
    let mut sheet = Sheet::default();
    sheet.known = known;
    let context = Context::without_host();
    strategy
        .match_lane(&Question::new(&lane, &sheet, &context))
        .unwrap()
        .spots
        .remove(0)
}

fn at(rf: f64) -> Spot {
    let mut spot = Spot::new(1, rf, 0.005);
    spot.colour = Some("red".into());
    spot
}

fn run(paper: &str) -> Vec<KnownLane> {
    [("a", 0.15), ("b", 0.40), ("c", 0.60), ("d", 0.78)]
        .map(|(dye, rf)| known(paper, dye, rf))
        .to_vec()
}

/// Published: 50 reads 45.000 by the polygon, 40 reads 36 exactly, 85 reads 80.227 beyond the last.
#[test]
fn the_polygon_reads_as_published() {
    let config = Config {
        form: Form::Polygon,
        residual_limit: 0.1,
        ..Config::default()
    };
    let mut with_target = tc();
    with_target
        .references
        .extend(set(&[("t", 0.45, "red"), ("u", 0.802_27, "red")]).references);
    let read = |rf: f64| ask(&config, with_target.clone(), run("2"), at(rf));
    let answer = read(0.50);
    assert_eq!(
        (answer.decision, &*answer.candidates[0].dyes[0]),
        (Decision::Identified, "t")
    );
    assert!(
        answer.candidates[0].rf_difference.abs() < 1e-12,
        "{answer:?}"
    );
    assert_eq!(read(0.40).candidates[0].dyes[0], "b");
    assert!(read(0.40).candidates[0].rf_difference.abs() < 1e-12);
    let beyond = read(0.85);
    assert!(
        beyond.candidates[0].rf_difference.abs() < 1e-5,
        "{beyond:?}"
    );
    assert!(beyond.reason.contains("extrapolated"), "{}", beyond.reason);
}

/// Published: 50 reads 44.333 on the line through the outer two.
#[test]
fn two_standards_give_the_line_through_them() {
    let outer = vec![known("2", "a", 0.15), known("2", "d", 0.78)];
    let mut with_target = tc();
    with_target
        .references
        .extend(set(&[("t", 0.443_333, "red")]).references);
    let answer = ask(&Config::default(), with_target, outer, at(0.50));
    assert_eq!(answer.candidates[0].dyes[0], "t");
    assert!(answer.candidates[0].rf_difference.abs() < 1e-5);
    assert!(
        answer
            .reason
            .starts_with("Rf 0.50 reads 0.443 corrected on a line by a and d on this paper"),
        "{}",
        answer.reason
    );
}

/// Two like-coloured dyes 0.05 apart on a paper that ran 0.03 high: wrong without, right with.
#[test]
fn a_shifted_paper_is_put_right_by_bridging_lanes() {
    let dyes = set(&[
        ("low", 0.2, "red"),
        ("x", 0.45, "red"),
        ("y", 0.50, "red"),
        ("high", 0.8, "red"),
    ]);
    let bridges = vec![known("2", "low", 0.23), known("2", "high", 0.83)];
    let answer = ask(&Config::default(), dyes.clone(), bridges, at(0.478));
    assert_eq!(
        (answer.decision, &*answer.candidates[0].dyes[0]),
        (Decision::Identified, "x")
    );
    let uncorrected = ask(&Config::default(), dyes, Vec::new(), at(0.478));
    assert_eq!(uncorrected.decision, Decision::Indistinguishable);
    assert!(
        uncorrected
            .reason
            .contains("No standard ran beside the lane.")
    );
}

#[test]
fn this_paper_comes_before_the_other() {
    let mut both = run("1");
    both.extend([known("2", "a", 0.11), known("2", "d", 0.71)]);
    let answer = ask(&Config::default(), tc(), both, at(0.54));
    assert!(
        answer.reason.contains("by a and d on this paper"),
        "{}",
        answer.reason
    );
    let other = ask(&Config::default(), tc(), run("1"), at(0.60));
    assert!(
        other.reason.contains("on the session's other paper"),
        "{}",
        other.reason
    );
    // the shift between papers counts: the tolerance is wider
    let width = |answer: &SpotAnswer| {
        let range = answer.candidates[0].expected;
        range.high - range.low
    };
    let same = ask(&Config::default(), tc(), run("2"), at(0.60));
    assert!(width(&other) > width(&same));
}

/// Two published student runs of six dyes differ in the order of the two yellows.
#[test]
fn a_changed_order_is_refused_in_words() {
    let dyes = set(&[
        ("red-3", 0.20, "red"),
        ("yellow-6", 0.46, "yellow"),
        ("yellow-5", 0.56, "yellow"),
        ("blue-1", 1.0, "blue"),
    ]);
    let run = [
        ("red-3", 0.20),
        ("yellow-6", 0.55),
        ("yellow-5", 0.475),
        ("blue-1", 0.80),
    ];
    let known: Vec<KnownLane> = run.map(|(dye, rf)| known("2", dye, rf)).to_vec();
    let answer = ask(&Config::default(), dyes, known, at(0.21));
    assert!(
        answer
            .reason
            .contains("were not used: the standard expected at 0.46"),
        "{}",
        answer.reason
    );
    assert!(answer.reason.contains("counts as read"));
}

#[test]
fn standards_too_near_or_in_disagreement_are_refused() {
    let near = vec![known("2", "b", 0.40), known("2", "c", 0.58)];
    let answer = ask(
        &Config {
            minimum_gap: 0.3,
            ..Config::default()
        },
        tc(),
        near,
        at(0.54),
    );
    assert!(
        answer.reason.contains("apart, at least 0.3 is needed"),
        "{}",
        answer.reason
    );
    let odd = vec![
        known("2", "a", 0.11),
        known("2", "b", 0.50),
        known("2", "d", 0.71),
    ];
    let answer = ask(&Config::default(), tc(), odd, at(0.54));
    assert!(
        answer.reason.contains("disagree with one another"),
        "{}",
        answer.reason
    );
}

#[test]
fn one_bridging_lane_scales() {
    let answer = ask(
        &Config::default(),
        tc(),
        vec![known("2", "b", 0.40)],
        at(0.60),
    );
    assert_eq!(answer.candidates[0].dyes[0], "c");
    assert!(answer.candidates[0].rf_difference.abs() < 1e-12);
    assert!(
        answer.reason.contains("scaled by b on this paper"),
        "{}",
        answer.reason
    );
    assert!(answer.reason.contains("extrapolated"));
}

#[test]
fn colour_excludes_and_is_named() {
    let mut spot = at(0.36);
    spot.colour = Some("blue".into());
    let answer = ask(&Config::default(), tc(), run("2"), spot);
    assert_eq!(answer.decision, Decision::NotInReferenceSet);
    let mut spot = at(0.40);
    spot.colour = Some("blue".into());
    let answer = ask(&Config::default(), tc(), run("2"), spot);
    assert_eq!(answer.candidates[0].colour, ColourVerdict::Disagrees);
    assert!(
        answer.reason.contains("excluded by colour only"),
        "{}",
        answer.reason
    );
}

/// A spot where both another dye and the minor spot of a dye in the lane belong is not named after
/// the other dye; without the dye in the lane it is.
#[test]
fn an_expected_minor_spot_counts_where_its_dye_is_in_the_lane() {
    let mut dyes = tc();
    let mut minor = MinorSpot::default();
    (minor.rf, minor.colour) = (0.37, Some("red".into()));
    dyes.references[3].minor_spots.push(minor);
    let strategy = CoRun::prepare(&Config::default(), dyes).unwrap();
    let decide = |spots: Vec<Spot>| {
        let (mut lane, sheet) = (Lane::default(), Sheet::default());
        (lane.lane, lane.spots) = (9, spots);
        let context = Context::without_host();
        let question = Question::new(&lane, &sheet, &context);
        strategy.match_lane(&question).unwrap().spots.remove(0)
    };
    let mut main = at(0.71);
    main.spot = 2;
    let answer = decide(vec![at(0.365), main]);
    assert_eq!(answer.decision, Decision::Indistinguishable);
    assert!(
        answer.reason.contains("the expected minor spot of d"),
        "{}",
        answer.reason
    );
    let alone = decide(vec![at(0.365)]);
    assert_eq!(
        (alone.decision, &*alone.candidates[0].dyes[0]),
        (Decision::Identified, "b")
    );
}

/// Within two tolerances, but much nearer to one: named, and the other told.
#[test]
fn a_spot_much_nearer_to_one_of_two_is_named_after_it() {
    let mut two = tc();
    two.references.extend(set(&[("e", 0.40, "red")]).references);
    let outer = vec![known("2", "a", 0.11), known("2", "d", 0.71)];
    let answer = |rf: f64| ask(&Config::default(), two.clone(), outer.clone(), at(rf));
    let near = answer(0.362);
    assert_eq!(
        (near.decision, &*near.candidates[0].dyes[0]),
        (Decision::Identified, "b")
    );
    assert!(
        near.reason.contains("e, 0.038 away, is within its 0.0"),
        "{}",
        near.reason
    );
    assert_eq!(answer(0.378).decision, Decision::Indistinguishable);
}

#[test]
fn nothing_near_is_not_in_the_reference_set() {
    let answer = ask(&Config::default(), tc(), run("2"), at(0.70));
    assert_eq!(answer.decision, Decision::NotInReferenceSet);
    assert!(
        answer.reason.contains("the nearest is"),
        "{}",
        answer.reason
    );
}
