//! What the schema of an answer can't say: that it answers what was asked, with what was given.

use std::collections::BTreeSet;

use dyebook_plugin::strategy::{Answer, Decision, Lane, LaneAnswer, MatchResponse, SpotAnswer};

use crate::failure::{Failure, Look};

/// What a spot's probabilities may sum to above 1: rounding.
const ROUNDING: f64 = 1e-6;

/// Looks at the meaning of a response and returns its answers in the order asked.
pub(crate) fn answers(
    response: MatchResponse,
    asked: &[Lane],
    dyes: &BTreeSet<String>,
) -> Result<Vec<LaneAnswer>, Failure> {
    let bad = |text: String| Failure::BadOutput {
        part: Look::Semantic,
        text,
    };
    let mut given: Vec<Option<LaneAnswer>> = response.lanes.into_iter().map(Some).collect();
    if given.len() != asked.len() {
        return Err(bad(format!(
            "{} lanes were asked and {} answered",
            asked.len(),
            given.len()
        )));
    }
    let mut answers = Vec::with_capacity(asked.len());
    for (place, lane) in asked.iter().enumerate() {
        let is_it =
            |answer: &Option<LaneAnswer>| answer.as_ref().is_some_and(|a| a.id() == lane.id);
        // Nearly always in the same place.
        let found = if given.get(place).is_some_and(is_it) {
            Some(place)
        } else {
            given.iter().position(is_it)
        };
        let answer = found
            .and_then(|at| given.get_mut(at))
            .and_then(Option::take);
        let answer = answer.ok_or_else(|| bad(format!("lane `{}` has no answer", lane.id)))?;
        if let LaneAnswer::Answered { answer, .. } = &answer {
            fits(answer, lane, dyes).map_err(|why| bad(format!("lane `{}`: {why}", lane.id)))?;
        }
        answers.push(answer);
    }
    Ok(answers)
}

fn fits(answer: &Answer, lane: &Lane, dyes: &BTreeSet<String>) -> Result<(), String> {
    let numbers = |spots: &[SpotAnswer]| spots.iter().map(|spot| spot.spot).collect::<Vec<_>>();
    let asked: Vec<u32> = lane.spots.iter().map(|spot| spot.spot).collect();
    if numbers(&answer.spots) != asked {
        return Err(format!(
            "spots {asked:?} were asked and {:?} answered",
            numbers(&answer.spots)
        ));
    }
    for dye in &answer.dyes {
        known(&dye.dye, dyes)?;
    }
    for spot in &answer.spots {
        spot_fits(spot, dyes).map_err(|why| format!("spot {}: {why}", spot.spot))?;
    }
    Ok(())
}

fn spot_fits(spot: &SpotAnswer, dyes: &BTreeSet<String>) -> Result<(), String> {
    let mut sum = 0.0;
    for candidate in &spot.candidates {
        for dye in &candidate.dyes {
            known(dye, dyes)?;
        }
        sum += candidate.probability.unwrap_or(0.0);
    }
    if sum > 1.0 + ROUNDING {
        return Err(format!("the probabilities sum to {sum}"));
    }
    if spot.decision == Decision::Identified && spot.candidates.is_empty() {
        return Err("it is identified as nothing".into());
    }
    Ok(())
}

fn known(dye: &str, dyes: &BTreeSet<String>) -> Result<(), String> {
    if dyes.contains(dye) {
        Ok(())
    } else {
        Err(format!("`{dye}` is not in the reference set"))
    }
}
