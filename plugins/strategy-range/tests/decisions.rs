//! Each decision with its reason. Values are invented; the rule is the strategy's own definition:
//! low - k·u <= Rf <= high + k·u, and a colour that does not disagree.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use dyebook_plugin::Context;
use dyebook_plugin::strategy::{
    Answer, ColourVerdict, ColourWord, Decision, Lane, MinorSpot, Question, Reference,
    ReferenceSet, Sheet, Spot, SpotAnswer, Strategy,
};
use dyebook_strategy_range::{Config, Range};

fn set() -> ReferenceSet {
    let mut set = ReferenceSet::default();
    let dye = |dye: &str, low: f64, high: f64, colour: &str| {
        let mut reference = Reference::new(dye, low, high);
        reference.colours = vec![colour.into()];
        reference
    };
    let mut red = dye("allura-red-ac", 0.36, 0.45, "red");
    red.assigned_rf = Some(0.405);
    let mut minor = MinorSpot::default();
    minor.rf = 0.20;
    red.minor_spots.push(minor);
    set.references = vec![
        red,
        dye("amaranth", 0.44, 0.52, "red"),
        dye("tartrazine", 0.38, 0.46, "yellow"),
        dye("brilliant-blue-fcf", 0.80, 0.90, "blue"),
    ];
    set.colour_words = vec![
        ColourWord::new("red", &["pink"]),
        ColourWord::new("pink", &["red"]),
        ColourWord::new("yellow", &["orange"]),
        ColourWord::new("blue", &[]),
    ];
    set
}

fn spot(rf: f64, u: f64, colour: &str) -> Spot {
    let mut spot = Spot::new(1, rf, u);
    spot.colour = (!colour.is_empty()).then(|| colour.into());
    spot
}

fn answer(set: ReferenceSet, spots: Vec<Spot>) -> Answer {
    let strategy = Range::prepare(&Config::default(), set).unwrap();
    let mut lane = Lane::default();
    lane.spots = spots;
    let (sheet, context) = (Sheet::default(), Context::without_host());
    strategy
        .match_lane(&Question::new(&lane, &sheet, &context))
        .unwrap()
}

fn one(spot: Spot) -> SpotAnswer {
    answer(set(), vec![spot]).spots.remove(0)
}

fn dyes(answer: &SpotAnswer) -> Vec<&str> {
    answer
        .candidates
        .iter()
        .map(|candidate| candidate.dyes[0].as_str())
        .collect()
}

#[test]
fn one_candidate_is_identified_and_colour_only_exclusions_are_named() {
    let answer = one(spot(0.43, 0.0, "red"));
    assert_eq!(answer.decision, Decision::Identified);
    assert_eq!(dyes(&answer), ["allura-red-ac", "tartrazine"]);
    assert_eq!(answer.candidates[1].colour, ColourVerdict::Disagrees);
    assert!((answer.candidates[0].rf_difference - 0.025).abs() < 1e-12);
    assert_eq!(
        answer.reason,
        "Rf 0.43 lies in the expected range 0.36 to 0.45 of allura-red-ac; colour red agrees. \
         tartrazine also lies in range; excluded by colour only (colour red disagrees with yellow)."
    );
}

#[test]
fn two_candidates_are_indistinguishable() {
    let answer = one(spot(0.445, 0.0, "pink"));
    assert_eq!(answer.decision, Decision::Indistinguishable);
    assert_eq!(dyes(&answer), ["amaranth", "allura-red-ac", "tartrazine"]);
    assert!(
        answer
            .reason
            .contains("amaranth (0.44 to 0.52) and allura-red-ac"),
        "{}",
        answer.reason
    );
}

#[test]
fn the_reading_uncertainty_widens_the_range_by_k_times_u_and_no_more() {
    assert_eq!(one(spot(0.92, 0.01, "blue")).decision, Decision::Identified);
    assert!(
        one(spot(0.92, 0.01, "blue"))
            .reason
            .contains("2 times the reading uncertainty")
    );
    assert_eq!(
        one(spot(0.9201, 0.01, "blue")).decision,
        Decision::NotInReferenceSet
    );
    let mut unknown = spot(0.92, 0.0, "blue");
    unknown.u = None;
    assert_eq!(one(unknown).decision, Decision::NotInReferenceSet);
}

#[test]
fn a_word_without_meaning_judges_nothing() {
    let answer = one(spot(0.85, 0.0, "turquoise"));
    assert_eq!(answer.decision, Decision::Identified);
    assert_eq!(answer.candidates[0].colour, ColourVerdict::NotJudged);
    assert_eq!(
        one(spot(0.85, 0.0, "")).candidates[0].colour,
        ColourVerdict::NotJudged
    );
}

#[test]
fn colour_alone_can_leave_nothing() {
    let answer = one(spot(0.85, 0.0, "yellow"));
    assert_eq!(answer.decision, Decision::NotInReferenceSet);
    assert_eq!(dyes(&answer), ["brilliant-blue-fcf"]);
    assert!(
        answer
            .reason
            .contains("brilliant-blue-fcf also lies in range"),
        "{}",
        answer.reason
    );
}

#[test]
fn nothing_near_names_the_nearest_range_and_expected_minor_spots() {
    let answer = one(spot(0.21, 0.0, "red"));
    assert_eq!(answer.decision, Decision::NotInReferenceSet);
    assert!(answer.candidates.is_empty());
    assert!(answer.reason.contains("0.150 away"), "{}", answer.reason);
    assert!(
        answer
            .reason
            .contains("minor spot is expected near here from allura-red-ac")
    );
}

#[test]
fn what_can_not_be_judged_says_why() {
    let mut streak = spot(0.43, 0.0, "red");
    streak.shape = Some("long streak".into());
    assert_eq!(one(streak).decision, Decision::NotEvaluable);
    let mut no_front = spot(0.43, 0.0, "red");
    no_front.rf = None;
    no_front.unusable = Some("the front was not measured".into());
    let answer = one(no_front);
    assert_eq!(answer.decision, Decision::NotEvaluable);
    assert_eq!(answer.reason, "The front was not measured.");
    let mut tail = spot(0.43, 0.0, "red");
    tail.shape = Some("tail".into());
    let answer = one(tail);
    assert_eq!(answer.decision, Decision::Identified);
    assert!(answer.reason.contains("noted as `tail`"));
}

#[test]
fn an_empty_set_has_no_valid_reference() {
    let spots = vec![spot(0.43, 0.0, "red")];
    assert_eq!(
        answer(ReferenceSet::default(), spots).spots[0].decision,
        Decision::NoValidReference
    );
}

#[test]
fn the_lane_holds_what_its_spots_are_identified_as_once() {
    let spots = vec![
        spot(0.85, 0.0, "blue"),
        spot(0.40, 0.0, "red"),
        spot(0.86, 0.0, "blue"),
    ];
    let answer = answer(set(), spots);
    let dyes: Vec<&str> = answer.dyes.iter().map(|dye| dye.dye.as_str()).collect();
    assert_eq!(dyes, ["brilliant-blue-fcf", "allura-red-ac"]);
    assert!(answer.dyes.iter().all(|dye| dye.probability.is_none()));
}

#[test]
fn an_rf_on_the_end_of_a_range_is_inside_and_one_just_beyond_reads_so() {
    assert_eq!(
        one(spot(0.1 + 0.7, 0.0, "blue")).decision,
        Decision::Identified
    );
    let beyond = one(spot(0.903, 0.0, "blue"));
    assert!(
        beyond.reason.contains("Rf 0.903 lies in no expected range"),
        "{}",
        beyond.reason
    );
}
