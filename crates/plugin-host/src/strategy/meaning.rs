//! What the schema of an answer can't say: that it answers what was asked, with what was given.

use std::collections::HashSet;

use dyebook_plugin::strategy::{Answer, Decision, Lane, LaneAnswer, MatchResponse, SpotAnswer};
use foldhash::fast::RandomState;

use crate::failure::{Failure, Look};

/// The dyes of a reference set.
pub(crate) type DyeNames = HashSet<String, RandomState>;

/// What a spot's probabilities may sum to above 1: rounding.
const ROUNDING: f64 = 1e-6;

/// Looks at the meaning of a response and returns its answers in the order asked.
pub(crate) fn answers(
    response: MatchResponse,
    asked: &[Lane],
    dyes: &DyeNames,
) -> Result<Vec<LaneAnswer>, Failure> {
    let bad = |text: String| Failure::BadOutput {
        part: Look::Semantic,
        text,
    };
    let mut answers = response.lanes;
    if answers.len() != asked.len() {
        return Err(bad(format!(
            "{} lanes were asked and {} answered",
            asked.len(),
            answers.len()
        )));
    }
    for (place, lane) in asked.iter().enumerate() {
        // Nearly always in its place.
        let mut left = answers.iter().enumerate().skip(place);
        let found = left.find(|(_, answer)| answer.id() == lane.id);
        let (at, answer) = found.ok_or_else(|| bad(format!("lane `{}` has no answer", lane.id)))?;
        if let LaneAnswer::Answered { answer, .. } = answer {
            fits(answer, lane, dyes).map_err(|why| bad(format!("lane `{}`: {why}", lane.id)))?;
        }
        answers.swap(place, at);
    }
    Ok(answers)
}

fn fits(answer: &Answer, lane: &Lane, dyes: &DyeNames) -> Result<(), String> {
    let asked = || lane.spots.iter().map(|spot| spot.spot);
    let answered = || answer.spots.iter().map(|spot| spot.spot);
    if !asked().eq(answered()) {
        let (asked, answered): (Vec<u32>, Vec<u32>) = (asked().collect(), answered().collect());
        return Err(format!(
            "spots {asked:?} were asked and {answered:?} answered"
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

fn spot_fits(spot: &SpotAnswer, dyes: &DyeNames) -> Result<(), String> {
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

fn known(dye: &str, dyes: &DyeNames) -> Result<(), String> {
    if dyes.contains(dye) {
        Ok(())
    } else {
        Err(format!("`{dye}` is not in the reference set"))
    }
}

#[cfg(test)]
mod tests {
    use super::{DyeNames, answers};
    use dyebook_plugin::strategy::{Lane, MatchResponse, Spot};
    use serde_json::{Value, json};

    fn judge(response: &Value) -> Result<Vec<String>, String> {
        let asked = ["L1", "L2"].map(|id| {
            let mut lane = Lane::default();
            lane.id = id.into();
            lane.spots = vec![Spot::new(1, 0.4, 0.01), Spot::new(2, 0.6, 0.01)];
            lane
        });
        let response: MatchResponse = serde_json::from_value(response.clone()).unwrap();
        let dyes = DyeNames::from_iter(["a".to_owned(), "b".to_owned()]);
        let answers = answers(response, &asked, &dyes).map_err(|failure| failure.to_string())?;
        Ok(answers
            .iter()
            .map(|answer| answer.id().to_owned())
            .collect())
    }

    fn candidate(dye: &str, probability: &Value) -> Value {
        json!({ "dyes": [dye], "probability": probability, "rf_difference": 0.0,
            "expected": { "low": 0.3, "high": 0.5 }, "colour": "agrees" })
    }

    fn lane(id: &str, candidates: &Value) -> Value {
        let spot = |number: u32, candidates: &Value| json!({ "spot": number, "decision": "identified", "candidates": candidates, "reason": "r" });
        json!({ "id": id, "dyes": [],
            "spots": [spot(1, candidates), spot(2, &json!([candidate("b", &json!(null))]))] })
    }

    #[test]
    fn answers_come_back_in_the_order_asked() {
        let good = json!([candidate("a", &json!(null))]);
        let turned = json!({ "lanes": [lane("L2", &good), { "id": "L1", "error": "no" }] });
        assert_eq!(judge(&turned).unwrap(), ["L1", "L2"]);
    }

    #[test]
    fn what_was_not_asked_or_not_given_is_refused() {
        let good = json!([candidate("a", &json!(0.5))]);
        let first =
            |candidates: &Value| json!({ "lanes": [lane("L1", candidates), lane("L2", &good)] });
        assert!(judge(&first(&good)).is_ok());
        for (words, response) in [
            (
                "2 lanes were asked and 1 answered",
                json!({ "lanes": [lane("L1", &good)] }),
            ),
            (
                "`L2` has no answer",
                json!({ "lanes": [lane("L1", &good), lane("L1", &good)] }),
            ),
            (
                "`c` is not in the reference set",
                first(&json!([candidate("c", &json!(null))])),
            ),
            (
                "sum to 1.2",
                first(&json!([
                    candidate("a", &json!(0.6)),
                    candidate("b", &json!(0.6))
                ])),
            ),
            ("identified as nothing", first(&json!([]))),
        ] {
            let refused = judge(&response).unwrap_err();
            assert!(refused.contains(words), "{refused}");
        }
        let mut fewer = first(&good);
        fewer["lanes"][0]["spots"].as_array_mut().unwrap().pop();
        assert!(
            judge(&fewer)
                .unwrap_err()
                .contains("spots [1, 2] were asked and [1] answered")
        );
    }
}
