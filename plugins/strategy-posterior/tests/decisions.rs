//! Each kind of decision, with its reason. Values are invented.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

mod words;

use dyebook_plugin::Context;
use dyebook_plugin::strategy::{
    Answer, ColourVerdict, Count, Decision, KnownLane, Lane, MinorSpot, Question, Reference,
    ReferenceSet, Sheet, Spot, SpotAnswer, Spread, Strategy,
};
use dyebook_strategy_posterior::{Config, Posterior};

fn dye(id: &str, rf: f64, colours: &[&str]) -> Reference {
    let mut reference = Reference::new(id, rf - 0.05, rf + 0.05);
    reference.assigned_rf = Some(rf);
    let (mut sd, mut count) = (Spread::default(), Count::default());
    (sd.within_paper, sd.between_papers, sd.between_sessions) =
        (Some(0.010), Some(0.010), Some(0.015));
    (count.sessions, count.papers, count.spots) = (Some(6), Some(12), Some(24));
    (reference.sd, reference.count) = (Some(sd), Some(count));
    reference.colours = colours.iter().map(|&word| word.into()).collect();
    reference
}

fn set() -> ReferenceSet {
    let mut set = ReferenceSet::default();
    set.colour_words = words::colour_words();
    set.references = vec![
        dye("erythrosine", 0.18, &["pink", "red"]),
        dye("azorubine", 0.29, &["red"]),
        dye("allura-red-ac", 0.36, &["red"]),
        dye("sunset-yellow-fcf", 0.49, &["orange"]),
        dye("tartrazine", 0.60, &["yellow"]),
        dye("patent-blue-v", 0.63, &["blue"]),
        dye("brilliant-blue-fcf", 0.90, &["blue"]),
    ];
    let mut minor = MinorSpot::default();
    (minor.rf, minor.colour) = (0.78, Some("blue".into()));
    set.references[6].minor_spots.push(minor);
    set
}

fn spot(number: u32, rf: f64, colour: &str) -> Spot {
    let mut spot = Spot::new(number, rf, 0.007);
    spot.colour = (!colour.is_empty()).then(|| colour.into());
    spot
}

fn ask(spots: Vec<Spot>, known: Vec<KnownLane>) -> Answer {
    let strategy = Posterior::prepare(&Config::default(), set()).unwrap();
    let mut lane = Lane::default();
    (lane.paper, lane.lane, lane.spots) = ("2".into(), 4, spots);
    let mut sheet = Sheet::default();
    sheet.known = known;
    let context = Context::without_host();
    strategy
        .match_lane(&Question::new(&lane, &sheet, &context))
        .unwrap()
}

fn known(paper: &str, lane: u32, dye: &str, rf: f64) -> KnownLane {
    let mut known = KnownLane::default();
    (known.paper, known.lane, known.role) = (paper.into(), lane, "bridging".into());
    known.dyes = vec![dye.into()];
    known.spots = vec![spot(1, rf, "")];
    known
}

fn one(spot: Spot) -> SpotAnswer {
    ask(vec![spot], Vec::new()).spots.remove(0)
}

fn best(answer: &SpotAnswer) -> Vec<&str> {
    answer.candidates[0]
        .dyes
        .iter()
        .map(AsRef::as_ref)
        .collect()
}

#[test]
fn a_clear_spot_is_identified() {
    let answer = ask(vec![spot(1, 0.49, "orange")], Vec::new());
    let seen = &answer.spots[0];
    assert_eq!(seen.decision, Decision::Identified);
    assert_eq!(best(seen), ["sunset-yellow-fcf"]);
    assert_eq!(seen.candidates[0].colour, ColourVerdict::Agrees);
    assert!(seen.candidates[0].rf_difference.abs() < 1e-12);
    assert_eq!(answer.dyes[0].dye, "sunset-yellow-fcf");
    assert!(answer.dyes[0].probability.unwrap() > 0.95);
    assert!(
        seen.reason.starts_with(
            "Rf 0.49 fits sunset-yellow-fcf (expected 0.49 on this paper, give or take 0.04); \
             colour orange agrees; probability 99.8 %."
        ),
        "{}",
        seen.reason
    );
}

#[test]
fn between_two_of_one_colour_it_is_indistinguishable_and_bridging_would_help() {
    let answer = one(spot(1, 0.326, "red"));
    assert_eq!(answer.decision, Decision::Indistinguishable);
    let mut dyes: Vec<&str> = answer
        .candidates
        .iter()
        .map(|c| c.dyes[0].as_str())
        .collect();
    dyes.truncate(2);
    dyes.sort_unstable();
    assert_eq!(dyes, ["allura-red-ac", "azorubine"]);
    assert!(
        answer
            .reason
            .contains("What would decide: two bridging lanes"),
        "{}",
        answer.reason
    );
}

/// The same spot, and two bridging lanes that ran 0.03 high: it is the lower dye.
#[test]
fn bridging_lanes_that_ran_high_decide_for_the_lower_dye() {
    let bridges = vec![
        known("2", 1, "erythrosine", 0.21),
        known("2", 2, "tartrazine", 0.63),
        known("1", 1, "azorubine", 0.29),
    ];
    let answer = ask(vec![spot(1, 0.326, "red")], bridges).spots.remove(0);
    assert_eq!(answer.decision, Decision::Identified, "{}", answer.reason);
    assert_eq!(best(&answer), ["azorubine"]);
    assert!(
        answer.reason.contains("known spots on this paper"),
        "{}",
        answer.reason
    );
    assert!(
        answer
            .reason
            .contains("higher here than its assigned value"),
        "{}",
        answer.reason
    );
}

#[test]
fn one_known_spot_is_told_as_one() {
    let bridge = vec![known("2", 1, "erythrosine", 0.20)];
    let answer = ask(vec![spot(1, 0.50, "orange")], bridge).spots.remove(0);
    assert!(
        answer
            .reason
            .contains("By 1 known spot on this paper the dye is expected"),
        "{}",
        answer.reason
    );
}

#[test]
fn the_lane_under_question_is_no_evidence_for_itself() {
    let alone = one(spot(1, 0.326, "red"));
    let itself = vec![known("2", 4, "allura-red-ac", 0.326)];
    let answer = ask(vec![spot(1, 0.326, "red")], itself).spots.remove(0);
    assert_eq!(answer.candidates, alone.candidates);
}

#[test]
fn a_known_spot_far_off_is_not_believed() {
    let alone = one(spot(1, 0.49, "orange"));
    let swapped = vec![known("2", 1, "erythrosine", 0.60)];
    let answer = ask(vec![spot(1, 0.49, "orange")], swapped).spots.remove(0);
    assert_eq!(answer.candidates, alone.candidates);
}

#[test]
fn far_from_everything_it_is_not_in_the_reference_set() {
    let answer = one(spot(1, 0.73, "green"));
    assert_eq!(answer.decision, Decision::NotInReferenceSet);
    assert!(
        answer.reason.contains("no dye of the reference set fits"),
        "{}",
        answer.reason
    );
}

#[test]
fn one_dye_once_a_lane() {
    let spots = vec![spot(1, 0.48, "orange"), spot(2, 0.50, "orange")];
    let answer = ask(spots, Vec::new());
    let of = |spot: &SpotAnswer| {
        let same = |c: &&dyebook_plugin::strategy::Candidate| c.dyes == ["sunset-yellow-fcf"];
        spot.candidates
            .iter()
            .find(same)
            .map_or(0.0, |c| c.probability.unwrap())
    };
    assert!(of(&answer.spots[0]) + of(&answer.spots[1]) <= 1.0 + 1e-12);
}

#[test]
fn a_minor_spot_is_absorbed_where_its_dye_is_there() {
    let answer = ask(
        vec![spot(1, 0.78, "blue"), spot(2, 0.90, "blue")],
        Vec::new(),
    );
    let minor = &answer.spots[0];
    assert_eq!(
        (minor.decision, best(minor)),
        (Decision::Identified, vec!["brilliant-blue-fcf"])
    );
    assert!(
        minor
            .reason
            .contains("the expected minor spot of brilliant-blue-fcf")
    );
    assert_eq!(answer.dyes.len(), 1);
    // without the dye the same spot is nobody's
    assert_eq!(
        one(spot(1, 0.78, "blue")).decision,
        Decision::NotInReferenceSet
    );
}

#[test]
fn a_green_spot_between_yellow_and_blue_is_both() {
    let answer = one(spot(1, 0.615, "green"));
    assert_eq!(
        best(&answer),
        ["tartrazine", "patent-blue-v"],
        "{}",
        answer.reason
    );
    assert_eq!(answer.candidates[0].colour, ColourVerdict::Agrees);
}

/// Yellow over scarlet looks orange: near both of them a yellow spot is the yellow dye alone, an
/// orange one both dyes, and a red one the scarlet alone.
#[test]
fn two_dyes_in_one_spot_are_judged_by_what_they_mix_to() {
    let mut near = set();
    near.references[5] = dye("ponceau-4r", 0.625, &["red"]);
    let strategy = Posterior::prepare(&Config::default(), near).unwrap();
    let asked = |word: &str| {
        let mut lane = Lane::default();
        lane.spots = vec![spot(1, 0.612, word)];
        let (sheet, context) = (Sheet::default(), Context::without_host());
        let question = Question::new(&lane, &sheet, &context);
        strategy.match_lane(&question).unwrap().spots.remove(0)
    };
    for (word, dyes) in [
        ("yellow", vec!["tartrazine"]),
        ("orange", vec!["tartrazine", "ponceau-4r"]),
        ("red", vec!["ponceau-4r"]),
    ] {
        let answer = asked(word);
        assert_eq!(best(&answer), dyes, "{word}: {}", answer.reason);
        assert_eq!(answer.candidates[0].colour, ColourVerdict::Agrees, "{word}");
    }
    assert_eq!(asked("yellow").decision, Decision::Identified);
    assert_eq!(asked("red").decision, Decision::Identified);
    let both = &asked("yellow").candidates[1..];
    let both = both.iter().filter(|one| one.dyes.len() == 2);
    assert!(both.map(|one| one.probability.unwrap()).sum::<f64>() < 0.02);
}

#[test]
fn unknown_words_are_not_judged_and_streaks_not_evaluable() {
    let answer = one(spot(1, 0.49, "salmon"));
    assert_eq!(answer.candidates[0].colour, ColourVerdict::NotJudged);
    let mut streak = spot(1, 0.49, "orange");
    streak.shape = Some("streak".into());
    assert_eq!(one(streak).decision, Decision::NotEvaluable);
    let mut missing = Spot::default();
    (missing.spot, missing.unusable) = (1, Some("the front is missing".into()));
    let answer = one(missing);
    assert_eq!(answer.decision, Decision::NotEvaluable);
    assert_eq!(answer.reason, "The front is missing.");
}

/// The less a spot's place can be trusted, the less it says about a colour that does not fit.
#[test]
fn tails_faint_and_end_spots_say_less() {
    let plain = one(spot(1, 0.49, "orange")).candidates[0]
        .probability
        .unwrap();
    let mut tail = spot(1, 0.49, "orange");
    tail.shape = Some("tail".into());
    let mut faint = spot(1, 0.49, "orange");
    faint.depth = Some("faint".into());
    for weaker in [tail, faint] {
        let answer = one(weaker);
        assert!(
            answer.candidates[0].probability.unwrap() < plain,
            "{}",
            answer.reason
        );
        assert!(answer.reason.contains("less certain") || answer.reason.contains("counts less"));
    }
    let end = one(spot(1, 0.97, "green"));
    assert!(
        end.reason.contains("lies at an end of the paper"),
        "{}",
        end.reason
    );
}

#[test]
fn an_empty_set_and_an_empty_lane_are_answered() {
    let strategy = Posterior::prepare(&Config::default(), ReferenceSet::default()).unwrap();
    let (mut lane, sheet) = (Lane::default(), Sheet::default());
    lane.spots = vec![spot(1, 0.4, "red")];
    let context = Context::without_host();
    let answer = strategy
        .match_lane(&Question::new(&lane, &sheet, &context))
        .unwrap();
    assert_eq!(answer.spots[0].decision, Decision::NoValidReference);
    assert!(ask(Vec::new(), Vec::new()).spots.is_empty());
}

#[test]
fn senseless_parameters_are_refused_in_words() {
    let config = Config {
        colour_own: 0.97,
        ..Config::default()
    };
    let error = Posterior::prepare(&config, set()).unwrap_err();
    assert!(error.to_string().contains("add up to"), "{error}");
}

/// A reference with nothing but its expected range still works: a third of the spread each.
#[test]
fn a_range_alone_is_enough() {
    let mut set = set();
    for reference in &mut set.references {
        (reference.sd, reference.count, reference.assigned_rf) = (None, None, None);
    }
    let strategy = Posterior::prepare(&Config::default(), set).unwrap();
    let (mut lane, sheet) = (Lane::default(), Sheet::default());
    lane.spots = vec![spot(1, 0.49, "orange")];
    let context = Context::without_host();
    let answer = strategy
        .match_lane(&Question::new(&lane, &sheet, &context))
        .unwrap();
    assert_eq!(best(&answer.spots[0]), ["sunset-yellow-fcf"]);
}
