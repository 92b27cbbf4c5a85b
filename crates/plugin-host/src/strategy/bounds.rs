//! What the schema of an answer says, said of an answer in the binary form.

use dyebook_plugin::strategy::{Answer, Candidate, LaneAnswer, MatchResponse, SpotAnswer};

use crate::failure::{Failure, Look};

/// Reads an answer in the binary form and looks at what its types leave open.
pub(crate) fn read(bytes: &[u8]) -> Result<MatchResponse, Failure> {
    let bad = |part, text| Failure::BadOutput { part, text };
    let response = MatchResponse::from_binary(bytes).map_err(|text| bad(Look::Binary, text))?;
    within(&response).map_err(|text| bad(Look::Schema, text))?;
    Ok(response)
}

fn within(response: &MatchResponse) -> Result<(), String> {
    response.lanes.iter().try_for_each(|lane| match lane {
        LaneAnswer::Failed { id, error } => filled(error, "error").map_err(|why| at(id, &why)),
        LaneAnswer::Answered { id, answer } => answer_within(answer).map_err(|why| at(id, &why)),
    })
}

fn at(lane: &str, why: &str) -> String {
    format!("lane `{lane}`: {why}")
}

fn answer_within(answer: &Answer) -> Result<(), String> {
    for dye in &answer.dyes {
        probability(dye.probability)?;
    }
    answer.spots.iter().try_for_each(spot_within)
}

fn spot_within(spot: &SpotAnswer) -> Result<(), String> {
    filled(&spot.reason, "reason")?;
    spot.candidates.iter().try_for_each(candidate_within)
}

fn candidate_within(candidate: &Candidate) -> Result<(), String> {
    match candidate.dyes.as_slice() {
        [_] => {}
        [one, other] if one != other => {}
        dyes => return Err(format!("a candidate is one dye or two, not {dyes:?}")),
    }
    probability(candidate.probability)?;
    let numbers = [
        candidate.rf_difference,
        candidate.expected.low,
        candidate.expected.high,
    ];
    match numbers.iter().find(|number| !number.is_finite()) {
        Some(number) => Err(format!("{number} is no Rf")),
        None => Ok(()),
    }
}

fn probability(probability: Option<f64>) -> Result<(), String> {
    match probability {
        Some(share) if !(0.0..=1.0).contains(&share) => Err(format!(
            "{share} is no probability: it has to be from 0 to 1"
        )),
        _ => Ok(()),
    }
}

fn filled(text: &str, name: &str) -> Result<(), String> {
    if text.is_empty() {
        return Err(format!("`{name}` is empty"));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{read, within};
    use dyebook_plugin::strategy::MatchResponse;
    use dyebook_schemas::catalogue::STRATEGY_1_MATCH_RESPONSE;
    use dyebook_schemas::check_value;
    use proptest::prelude::*;
    use serde_json::{Value, json};

    /// Answers inside and outside of what the schema allows, of the right types.
    fn response() -> impl Strategy<Value = Value> {
        let text = || {
            prop_oneof![
                Just(String::new()),
                Just("a".to_owned()),
                Just("b".to_owned())
            ]
        };
        let share = || {
            prop::option::of(prop_oneof![
                0.0..=1.0_f64,
                Just(1.0),
                Just(1.0_f64.next_up()),
                Just(-0.0),
                Just(-0.1),
            ])
        };
        let candidate = (prop::collection::vec(text(), 0..4), share(), -2.0..2.0_f64).prop_map(
            |(dyes, probability, off)| {
                json!({"dyes": dyes, "probability": probability, "rf_difference": off,
                       "expected": {"low": off, "high": -off}, "colour": "agrees"})
            },
        );
        let spot = (any::<u32>(), prop::collection::vec(candidate, 0..3), text()).prop_map(
            |(spot, candidates, reason)| {
                json!({"spot": spot, "decision": "not evaluable", "candidates": candidates,
                       "reason": reason})
            },
        );
        let dye = (text(), share())
            .prop_map(|(dye, probability)| json!({"dye": dye, "probability": probability}));
        let answered = (
            text(),
            prop::collection::vec(dye, 0..3),
            prop::collection::vec(spot, 0..3),
        )
            .prop_map(|(id, dyes, spots)| json!({"id": id, "dyes": dyes, "spots": spots}));
        let failed = (text(), text()).prop_map(|(id, error)| json!({"id": id, "error": error}));
        prop::collection::vec(prop_oneof![answered, failed], 0..3)
            .prop_map(|lanes| json!({"lanes": lanes}))
    }

    proptest! {
        #[test]
        fn the_bounds_are_those_of_the_schema(value in response()) {
            let fits = check_value(&STRATEGY_1_MATCH_RESPONSE, &value).is_ok();
            let response: MatchResponse = serde_json::from_value(value).unwrap();
            prop_assert_eq!(within(&response).is_ok(), fits);
            let bytes = response.to_binary().unwrap();
            prop_assert_eq!(read(&bytes).ok(), fits.then_some(response));
        }
    }

    #[test]
    fn what_json_has_no_number_for_is_refused() {
        for (share, off) in [(f64::NAN, 0.0), (0.5, f64::NAN), (0.5, f64::INFINITY)] {
            let mut response: MatchResponse = serde_json::from_value(json!({"lanes": [
                {"id": "L", "dyes": [], "spots": [{"spot": 1, "decision": "identified",
                 "candidates": [{"dyes": ["a"], "probability": 0.5, "rf_difference": 0.0,
                                 "expected": {"low": 0.1, "high": 0.2}, "colour": "agrees"}],
                 "reason": "r"}]}]}))
            .unwrap();
            assert!(within(&response).is_ok());
            if let dyebook_plugin::strategy::LaneAnswer::Answered { answer, .. } =
                &mut response.lanes[0]
            {
                answer.spots[0].candidates[0].probability = Some(share);
                answer.spots[0].candidates[0].rf_difference = off;
            }
            assert!(within(&response).is_err());
        }
    }

    #[test]
    fn bytes_that_are_no_answer_are_refused() {
        for bytes in [&b"{\"lanes\":[]}"[..], b"", &[1, 200], &[0, 0], &[0xff; 40]] {
            assert!(read(bytes).is_err(), "{bytes:?}");
        }
        assert!(read(&[0]).unwrap().lanes.is_empty());
    }
}
