//! What a strategy said of a lane, as the lane's identity.

use dyebook_checks::{EvaluatedLane, EvaluatedSpot};
use dyebook_documents::{
    Candidate, ColourVerdict, Decision, DyeInLane, LaneIdentity, Range, SpotIdentity,
};
use dyebook_plugin::strategy as message;

/// A strategy's answer for a lane as an identity.
pub(crate) fn lane_identity(
    lane: &EvaluatedLane,
    answer: Option<message::LaneAnswer>,
) -> LaneIdentity {
    let mut out = LaneIdentity {
        paper: lane.paper.clone(),
        lane: lane.lane,
        label: lane.label.clone(),
        role: lane.role,
        dyes: Vec::new(),
        spots: Vec::new(),
        failed: None,
    };
    match answer {
        Some(message::LaneAnswer::Answered { answer, .. }) => {
            out.dyes = answer
                .dyes
                .into_iter()
                .map(|d| DyeInLane {
                    dye: d.dye,
                    probability: d.probability,
                })
                .collect();
            out.spots = lane
                .spots
                .iter()
                .zip(answer.spots)
                .map(|(spot, a)| identity(spot, a))
                .collect();
        }
        Some(message::LaneAnswer::Failed { error, .. }) => out.failed = Some(error),
        None => out.failed = Some("the strategy gave no answer for this lane".to_owned()),
    }
    if let Some(why) = &out.failed {
        out.spots = lane
            .spots
            .iter()
            .map(|spot| not_judged(spot, why))
            .collect();
    }
    out
}

fn identity(spot: &EvaluatedSpot, answer: message::SpotAnswer) -> SpotIdentity {
    SpotIdentity {
        spot: spot.spot,
        rf: spot.rf,
        u: spot.u,
        decision: decision(answer.decision),
        candidates: answer.candidates.into_iter().map(candidate).collect(),
        reason: answer.reason,
    }
}

fn not_judged(spot: &EvaluatedSpot, why: &str) -> SpotIdentity {
    SpotIdentity {
        spot: spot.spot,
        rf: spot.rf,
        u: spot.u,
        decision: Decision::NotEvaluable,
        candidates: Vec::new(),
        reason: format!("The strategy failed on this lane: {why}"),
    }
}

fn candidate(candidate: message::Candidate) -> Candidate {
    Candidate {
        dyes: candidate.dyes,
        probability: candidate.probability,
        rf_difference: candidate.rf_difference,
        expected: Range {
            low: candidate.expected.low,
            high: candidate.expected.high,
        },
        colour: match candidate.colour {
            message::ColourVerdict::Agrees => ColourVerdict::Agrees,
            message::ColourVerdict::Disagrees => ColourVerdict::Disagrees,
            message::ColourVerdict::NotJudged => ColourVerdict::NotJudged,
        },
    }
}

fn decision(decision: message::Decision) -> Decision {
    match decision {
        message::Decision::Identified => Decision::Identified,
        message::Decision::Indistinguishable => Decision::Indistinguishable,
        message::Decision::NotInReferenceSet => Decision::NotInReferenceSet,
        message::Decision::NotEvaluable => Decision::NotEvaluable,
        message::Decision::NoValidReference => Decision::NoValidReference,
    }
}
