//! What a strategy answers.

use compact_str::CompactString;
use serde::{Deserialize, Serialize, Serializer};

use super::lanes::Spot;
use super::reference_set::{Reference, RfRange};

/// The response of MATCH: one answer a lane.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct MatchResponse {
    /// One answer for each lane asked.
    pub lanes: Vec<LaneAnswer>,
}

impl MatchResponse {
    /// The response that holds these answers.
    pub fn new(lanes: Vec<LaneAnswer>) -> Self {
        Self { lanes }
    }
}

/// What became of one lane.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(untagged, try_from = "WrittenAnswer")]
pub enum LaneAnswer {
    /// The strategy could not answer.
    Failed {
        /// The lane's id.
        id: CompactString,
        /// Why, in words.
        error: String,
    },
    /// The strategy's answer.
    Answered {
        /// The lane's id.
        id: CompactString,
        /// The answer.
        #[serde(flatten)]
        answer: Answer,
    },
}

/// A lane's answer as it is written: told apart by what is there, without reading it twice.
#[derive(Deserialize)]
struct WrittenAnswer {
    id: CompactString,
    error: Option<String>,
    dyes: Option<Vec<LaneDye>>,
    spots: Option<Vec<SpotAnswer>>,
}

impl TryFrom<WrittenAnswer> for LaneAnswer {
    type Error = String;

    fn try_from(written: WrittenAnswer) -> Result<Self, String> {
        let id = written.id;
        match (written.error, written.dyes, written.spots) {
            (Some(error), _, _) => Ok(Self::Failed { id, error }),
            (None, Some(dyes), Some(spots)) => Ok(Self::Answered {
                id,
                answer: Answer { dyes, spots },
            }),
            _ => Err(format!(
                "lane `{id}` has neither an `error` nor both `dyes` and `spots`"
            )),
        }
    }
}

impl LaneAnswer {
    /// The id of the lane that this is about.
    pub fn id(&self) -> &str {
        match self {
            Self::Failed { id, .. } | Self::Answered { id, .. } => id,
        }
    }
}

/// A lane's answer as it stands in the binary form.
#[derive(Debug, Serialize, Deserialize)]
struct Outcome<I, A, E> {
    id: I,
    answer: Result<A, E>,
}

impl<'a> Outcome<&'a str, &'a Answer, &'a str> {
    fn of(answer: &'a LaneAnswer) -> Self {
        let (id, answer): (&str, _) = match answer {
            LaneAnswer::Answered { id, answer } => (id, Ok(answer)),
            LaneAnswer::Failed { id, error } => (id, Err(error.as_str())),
        };
        Self { id, answer }
    }
}

/// Answers in the binary form.
pub(super) struct Outcomes<'a>(pub(super) &'a [LaneAnswer]);

impl Serialize for Outcomes<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.iter().map(Outcome::of))
    }
}

impl MatchResponse {
    /// The binary form.
    ///
    /// # Errors
    /// Never, as long as there is memory.
    pub fn to_binary(&self) -> Result<Vec<u8>, String> {
        crate::binary::write(&Outcomes(&self.lanes))
    }

    /// Reads the binary form.
    ///
    /// # Errors
    /// Bytes that are no response.
    pub fn from_binary(bytes: &[u8]) -> Result<Self, String> {
        let outcomes: Vec<Outcome<CompactString, Answer, String>> = crate::binary::read(bytes)?;
        let lanes = outcomes.into_iter().map(|outcome| match outcome.answer {
            Ok(answer) => LaneAnswer::Answered {
                id: outcome.id,
                answer,
            },
            Err(error) => LaneAnswer::Failed {
                id: outcome.id,
                error,
            },
        });
        Ok(Self::new(lanes.collect()))
    }
}

/// The answer for one lane.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Answer {
    /// Dyes the strategy says are in the lane, best first.
    pub dyes: Vec<LaneDye>,
    /// One answer a spot, in the order asked.
    pub spots: Vec<SpotAnswer>,
}

impl Answer {
    /// An answer that names these dyes.
    pub fn new(dyes: Vec<LaneDye>, spots: Vec<SpotAnswer>) -> Self {
        Self { dyes, spots }
    }

    /// The answer whose dyes are those of the best candidate of every identified spot, each once,
    /// without a probability.
    pub fn from_spots(spots: Vec<SpotAnswer>) -> Self {
        let mut dyes: Vec<LaneDye> = Vec::new();
        let identified = spots
            .iter()
            .filter(|spot| spot.decision == Decision::Identified);
        for dye in identified
            .filter_map(|spot| spot.candidates.first())
            .flat_map(|best| &best.dyes)
        {
            if !dyes.iter().any(|named| named.dye == *dye) {
                dyes.push(LaneDye::new(dye, None));
            }
        }
        Self { dyes, spots }
    }
}

/// A dye that is in the lane.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct LaneDye {
    /// The dye's id.
    pub dye: CompactString,
    /// How probable, for a strategy that has probabilities.
    pub probability: Option<f64>,
}

impl LaneDye {
    /// A dye with or without a probability.
    pub fn new(dye: &str, probability: Option<f64>) -> Self {
        Self {
            dye: dye.into(),
            probability,
        }
    }
}

/// The answer for one spot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SpotAnswer {
    /// The spot's number.
    pub spot: u32,
    /// What was decided.
    pub decision: Decision,
    /// What it may be, best first.
    pub candidates: Vec<Candidate>,
    /// Why, in a sentence that a coordinator understands.
    pub reason: String,
}

impl SpotAnswer {
    /// An answer for this spot.
    pub fn new(
        spot: &Spot,
        decision: Decision,
        candidates: Vec<Candidate>,
        reason: impl Into<String>,
    ) -> Self {
        Self {
            spot: spot.spot,
            decision,
            candidates,
            reason: reason.into(),
        }
    }
}

/// What was decided about a spot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Decision {
    /// The first candidate is what it is.
    #[serde(rename = "identified")]
    Identified,
    /// Two or more candidates fit and can't be told apart.
    #[serde(rename = "indistinguishable")]
    Indistinguishable,
    /// No reference fits.
    #[serde(rename = "not in reference set")]
    NotInReferenceSet,
    /// The spot itself can't be judged.
    #[serde(rename = "not evaluable")]
    NotEvaluable,
    /// There is nothing to compare it with.
    #[serde(rename = "no valid reference")]
    NoValidReference,
}

/// What a spot may be.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Candidate {
    /// One dye, or two that would lie in one spot.
    pub dyes: Vec<CompactString>,
    /// How probable, for a strategy that has probabilities.
    pub probability: Option<f64>,
    /// Rf of the spot less the expected Rf.
    pub rf_difference: f64,
    /// The range compared with.
    pub expected: RfRange,
    /// What the colour says.
    pub colour: ColourVerdict,
}

impl Candidate {
    /// This reference as a candidate for a spot at `rf`: without a probability, compared with the
    /// assigned value, or with the middle of the expected range where none is assigned.
    pub fn new(reference: &Reference, rf: f64, colour: ColourVerdict) -> Self {
        Self {
            dyes: vec![reference.dye.as_str().into()],
            probability: None,
            rf_difference: rf - reference.centre(),
            expected: reference.expected_rf,
            colour,
        }
    }
}

/// What the colour of a spot says about a reference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum ColourVerdict {
    /// The same word, or a neighbour.
    #[serde(rename = "agrees")]
    Agrees,
    /// A colour is missing, or is not in the table.
    #[serde(rename = "not judged")]
    NotJudged,
    /// Another colour.
    #[serde(rename = "disagrees")]
    Disagrees,
}
