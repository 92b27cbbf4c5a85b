//! E. Do a strategy's answers mean something?

use dyebook_plugin::strategy::{Decision, LaneAnswer, SpotAnswer};

use crate::bench::Bench;
use crate::random::Random;
use crate::report::{Grade, Verdict};
use crate::samples::{self, drawn, lane, request, spot};

pub(super) fn answers_hold(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let lanes = drawn(32, &mut Random::new(bench.options.seed));
    let answers = bench.answers(&samples::set(), &lanes)?;
    let failed: Vec<&str> = answers
        .iter()
        .filter(|answer| matches!(answer, LaneAnswer::Failed { .. }))
        .map(LaneAnswer::id)
        .collect();
    let text = format!("ordinary lanes were not answered: {}", failed.join(", "));
    Ok(Verdict::rule(failed.is_empty(), Grade::Warn, text))
}

fn spots(answers: &[LaneAnswer]) -> impl Iterator<Item = &SpotAnswer> {
    answers.iter().flat_map(|answer| match answer {
        LaneAnswer::Answered { answer, .. } => answer.spots.as_slice(),
        LaneAnswer::Failed { .. } => &[],
    })
}

pub(super) fn exact_value(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let set = samples::set();
    let exact = set.references.iter().map(|reference| {
        let colour = reference
            .colours
            .first()
            .map(String::as_str)
            .unwrap_or_default();
        lane(&reference.dye, vec![spot(1, reference.centre(), colour)])
    });
    let answers = bench.answers(&set, &request(exact.collect()))?;
    let missed: Vec<&str> = answers
        .iter()
        .filter(|answer| {
            let first =
                spots(std::slice::from_ref(answer)).flat_map(|s| s.candidates.iter().take(3));
            !first
                .flat_map(|candidate| &candidate.dyes)
                .any(|dye| dye == answer.id())
        })
        .map(LaneAnswer::id)
        .collect();
    let text = format!(
        "at their very values these are not among the first three: {}",
        missed.join(", ")
    );
    Ok(Verdict::rule(missed.is_empty(), Grade::Note, text))
}

pub(super) fn without_rf(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let mut unusable = spot(1, 0.35, "red");
    unusable.rf = None;
    unusable.unusable = Some("the front was not measured".into());
    let answers = bench.answers(&samples::set(), &request(vec![lane("a", vec![unusable])]))?;
    let right = spots(&answers).all(|spot| spot.decision == Decision::NotEvaluable);
    Ok(Verdict::rule(
        right,
        Grade::Fail,
        "a spot without an Rf was not called `not evaluable`",
    ))
}
