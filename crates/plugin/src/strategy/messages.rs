//! What host and strategy say to each other: contract `strategy/1`.

use serde::{Deserialize, Serialize};

/// The reference set of one method version: the request of PREPARE.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ReferenceSet {
    /// Which method version.
    pub method: MethodVersion,
    /// One entry a dye (rarely several for the same dye).
    #[serde(default)]
    pub references: Vec<Reference>,
    /// What the host counts as agreeing colours.
    #[serde(default)]
    pub colour_words: Vec<ColourWord>,
    /// How well distances are read under this method.
    #[serde(default)]
    pub measuring: Measuring,
}

/// A method version.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct MethodVersion {
    /// The method's id.
    pub id: String,
    /// The exact version.
    pub version: String,
    /// Digest of the content.
    pub digest: String,
}

impl MethodVersion {
    /// A method version by its three names.
    pub fn new(id: &str, version: &str, digest: &str) -> Self {
        Self {
            id: id.into(),
            version: version.into(),
            digest: digest.into(),
        }
    }
}

/// The expected values of one dye.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Reference {
    /// The dye's id.
    pub dye: String,
    /// The assigned value.
    #[serde(default)]
    pub assigned_rf: Option<f64>,
    /// The expected range of Rf.
    pub expected_rf: RfRange,
    /// Standard deviations of Rf, where they were established.
    #[serde(default)]
    pub sd: Option<Spread>,
    /// What they rest on.
    #[serde(default)]
    pub count: Option<Count>,
    /// Colour words: the method's, else the dye's own.
    #[serde(default)]
    pub colours: Vec<String>,
    /// Further spots that a pure dye shows.
    #[serde(default)]
    pub minor_spots: Vec<MinorSpot>,
    /// How the dye behaves in this developing solvent, in words.
    #[serde(default)]
    pub behaviour: Option<String>,
}

impl Reference {
    /// A dye with nothing but its expected range.
    pub fn new(dye: &str, low: f64, high: f64) -> Self {
        Self {
            dye: dye.into(),
            expected_rf: RfRange { low, high },
            ..Self::default()
        }
    }
}

/// A range of Rf, both ends belonging to it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct RfRange {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Standard deviations of Rf by level.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Spread {
    /// Between spots on one paper.
    #[serde(default)]
    pub within_paper: Option<f64>,
    /// Between papers of one session.
    #[serde(default)]
    pub between_papers: Option<f64>,
    /// Between sessions.
    #[serde(default)]
    pub between_sessions: Option<f64>,
}

/// Numbers that a reference rests on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Count {
    /// Sessions.
    #[serde(default)]
    pub sessions: Option<u32>,
    /// Papers.
    #[serde(default)]
    pub papers: Option<u32>,
    /// Spots.
    #[serde(default)]
    pub spots: Option<u32>,
}

/// A further spot that a pure dye shows.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct MinorSpot {
    /// Where.
    pub rf: f64,
    /// Its colour word.
    #[serde(default)]
    pub colour: Option<String>,
}

/// A word of the host's colour table.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ColourWord {
    /// The word.
    pub word: String,
    /// Words that readers use for the same spot.
    #[serde(default)]
    pub neighbours: Vec<String>,
}

impl ColourWord {
    /// A word and its neighbours.
    pub fn new(word: &str, neighbours: &[&str]) -> Self {
        Self {
            word: word.into(),
            neighbours: neighbours
                .iter()
                .map(|&neighbour| neighbour.into())
                .collect(),
        }
    }
}

/// How well distances are read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Measuring {
    /// Standard deviation of a spot distance in cm.
    #[serde(default)]
    pub distance_sd_cm: Option<f64>,
    /// Standard deviation of a front distance in cm.
    #[serde(default)]
    pub front_sd_cm: Option<f64>,
}

/// Lanes to answer: the request of MATCH.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct MatchRequest {
    /// The data sheets that the lanes stand on.
    #[serde(default)]
    pub sheets: Vec<Sheet>,
    /// The lanes, at most 32 in one call.
    pub lanes: Vec<Lane>,
}

/// What is known of a data sheet's papers.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Sheet {
    /// The sheet's id.
    pub sheet: String,
    /// The session it belongs to.
    #[serde(default)]
    pub session: String,
    /// Lanes whose dyes are known: standards and bridging lanes.
    #[serde(default)]
    pub known: Vec<KnownLane>,
}

/// A lane whose dyes are known.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct KnownLane {
    /// Its paper.
    pub paper: String,
    /// Its number on the paper.
    pub lane: u32,
    /// What is in it.
    #[serde(default)]
    pub dyes: Vec<String>,
    /// `standard` or `bridging`.
    pub role: String,
    /// Its spots.
    #[serde(default)]
    pub spots: Vec<Spot>,
}

/// A lane under question.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Lane {
    /// Opaque name of this question.
    pub id: String,
    /// The data sheet it stands on.
    pub sheet: String,
    /// The session.
    #[serde(default)]
    pub session: String,
    /// Its paper.
    #[serde(default)]
    pub paper: String,
    /// Its number on the paper.
    #[serde(default)]
    pub lane: u32,
    /// `standard` or `sample`.
    #[serde(default)]
    pub role: String,
    /// Its spots.
    #[serde(default)]
    pub spots: Vec<Spot>,
}

/// One spot as read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Spot {
    /// Its number in the lane.
    pub spot: u32,
    /// Rf.
    #[serde(default)]
    pub rf: Option<f64>,
    /// Standard uncertainty of Rf from reading the ruler.
    #[serde(default)]
    pub u: Option<f64>,
    /// Front distance in cm.
    #[serde(default)]
    pub front_cm: Option<f64>,
    /// Colour word as written.
    #[serde(default)]
    pub colour: Option<String>,
    /// How strong: faint, clear, strong.
    #[serde(default)]
    pub depth: Option<String>,
    /// Shape as written.
    #[serde(default)]
    pub shape: Option<String>,
    /// Width along the lane in Rf.
    #[serde(default)]
    pub width_rf: Option<f64>,
    /// Why there is no Rf, in the host's words.
    #[serde(default)]
    pub unusable: Option<String>,
}

impl Spot {
    /// A spot with an Rf and its reading uncertainty.
    pub fn new(spot: u32, rf: f64, u: f64) -> Self {
        Self {
            spot,
            rf: Some(rf),
            u: Some(u),
            ..Self::default()
        }
    }
}

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
#[serde(untagged)]
pub enum LaneAnswer {
    /// The strategy could not answer.
    Failed {
        /// The lane's id.
        id: String,
        /// Why, in words.
        error: String,
    },
    /// The strategy's answer.
    Answered {
        /// The lane's id.
        id: String,
        /// The answer.
        #[serde(flatten)]
        answer: Answer,
    },
}

impl LaneAnswer {
    /// The id of the lane that this is about.
    pub fn id(&self) -> &str {
        match self {
            Self::Failed { id, .. } | Self::Answered { id, .. } => id,
        }
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
    pub dye: String,
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
    pub dyes: Vec<String>,
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
            dyes: vec![reference.dye.clone()],
            probability: None,
            rf_difference: rf - reference.centre(),
            expected: reference.expected_rf,
            colour,
        }
    }
}

impl Reference {
    /// The assigned value, or the middle of the expected range where none is assigned.
    pub fn centre(&self) -> f64 {
        self.assigned_rf
            .unwrap_or_else(|| f64::midpoint(self.expected_rf.low, self.expected_rf.high))
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
