//! Each decision with its reason. Values are invented; distances are worked out by hand from the
//! strategy's own definition, z = (Rf - assigned) / sqrt(s² + u²).
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use dyebook_plugin::Context;
use dyebook_plugin::strategy::{
    ColourWord, Decision, Lane, Question, Reference, ReferenceSet, Sheet, Spot, SpotAnswer, Spread,
    Strategy,
};
use dyebook_strategy_nearest::{Basis, Config, Nearest, spread};

/// s = sqrt(0.01² + 0.01² + 0.014142…²) = 0.02.
fn dye(dye: &str, assigned: f64, colour: &str) -> Reference {
    let mut reference = Reference::new(dye, assigned - 0.04, assigned + 0.04);
    reference.assigned_rf = Some(assigned);
    let mut sd = Spread::default();
    sd.within_paper = Some(0.01);
    sd.between_papers = Some(0.01);
    sd.between_sessions = Some(0.0002_f64.sqrt());
    reference.sd = Some(sd);
    reference.colours = vec![colour.into()];
    reference
}

fn judge(references: Vec<Reference>, config: Config, rf: f64, u: f64, colour: &str) -> SpotAnswer {
    let mut set = ReferenceSet::default();
    set.references = references;
    set.colour_words = vec![ColourWord::new("red", &[]), ColourWord::new("blue", &[])];
    let strategy = Nearest::prepare(&config, set).unwrap();
    let mut lane = Lane::default();
    let mut spot = Spot::new(1, rf, u);
    spot.colour = Some(colour.into());
    lane.spots.push(spot);
    let (sheet, context) = (Sheet::default(), Context::without_host());
    strategy
        .match_lane(&Question::new(&lane, &sheet, &context))
        .unwrap()
        .spots
        .remove(0)
}

#[test]
fn components_add_in_quadrature() {
    let (s, basis) = spread(&dye("a", 0.4, "red"));
    assert!((s - 0.02).abs() < 1e-12);
    assert_eq!(basis, Basis::Established);
}

#[test]
fn the_nearest_within_the_cut_off_is_identified() {
    let references = vec![dye("a", 0.40, "red"), dye("b", 0.50, "red")];
    let answer = judge(references, Config::default(), 0.42, 0.0, "red");
    assert_eq!(answer.decision, Decision::Identified);
    assert_eq!(
        answer.reason,
        "Rf 0.42 is 1.0 standard deviations from the assigned value 0.40 of a; colour red agrees."
    );
}

#[test]
fn the_reading_uncertainty_belongs_to_the_scale() {
    let references = || vec![dye("a", 0.40, "red")];
    // 0.07 / 0.02 = 3.5 and 0.07 / hypot(0.02, 0.015) = 0.07 / 0.025 = 2.8
    let sharp = judge(references(), Config::default(), 0.47, 0.0, "red");
    let blunt = judge(references(), Config::default(), 0.47, 0.015, "red");
    assert_eq!(sharp.decision, Decision::NotInReferenceSet);
    assert!(
        sharp
            .reason
            .contains("the nearest is a (0.40, 3.5 standard deviations)")
    );
    assert_eq!(blunt.decision, Decision::Identified);
    assert!(
        blunt.reason.contains("2.8 standard deviations"),
        "{}",
        blunt.reason
    );
}

#[test]
fn a_runner_up_within_the_gap_can_not_be_told_apart() {
    let references = || vec![dye("a", 0.40, "red"), dye("b", 0.45, "red")];
    // 1.0 and 1.5 away
    let close = judge(references(), Config::default(), 0.42, 0.0, "red");
    assert_eq!(close.decision, Decision::Indistinguishable);
    assert_eq!(close.candidates[0].dyes, ["a"]);
    assert!(
        close
            .reason
            .contains("b (0.45, 1.5 standard deviations) is less than 1")
    );
    let config = Config {
        gap: 0.4,
        ..Config::default()
    };
    assert_eq!(
        judge(references(), config, 0.42, 0.0, "red").decision,
        Decision::Identified
    );
}

#[test]
fn a_runner_up_of_another_colour_is_no_rival() {
    let references = vec![dye("a", 0.40, "red"), dye("b", 0.45, "blue")];
    let answer = judge(references, Config::default(), 0.42, 0.0, "red");
    assert_eq!(answer.decision, Decision::Identified);
    assert!(
        answer
            .reason
            .contains("b also lies within the cut-off; excluded by colour only")
    );
}

#[test]
fn a_reference_without_spread_is_judged_by_its_range_and_says_so() {
    let answer = judge(
        vec![Reference::new("a", 0.40, 0.48)],
        Config::default(),
        0.46,
        0.0,
        "red",
    );
    assert_eq!(answer.decision, Decision::Identified);
    for words in [
        "the middle of the expected range 0.44",
        "0.020 taken from the width",
        "1.0 st",
    ] {
        assert!(answer.reason.contains(words), "{}", answer.reason);
    }
}

#[test]
fn several_references_of_one_dye_are_no_rivals_of_each_other() {
    let references = vec![dye("a", 0.40, "red"), dye("a", 0.42, "red")];
    let answer = judge(references, Config::default(), 0.41, 0.0, "red");
    assert_eq!(answer.decision, Decision::Identified);
    assert_eq!(answer.candidates.len(), 1);
}
