//! What the author of a matching strategy uses.

mod adapter;
mod answers;
mod colour;
mod lanes;
pub mod reasons;
mod reference_set;
mod told_numbers;

pub use adapter::StrategyComponent;
pub use answers::{
    Answer, Candidate, ColourVerdict, Decision, LaneAnswer, LaneDye, MatchResponse, SpotAnswer,
};
pub use colour::ColourTable;
pub use lanes::{KnownLane, Lane, MatchRequest, Sheet, Spot};
pub use reference_set::{
    ColourWord, Count, Measuring, MethodVersion, MinorSpot, Reference, ReferenceSet, RfRange,
    Spread,
};

pub use compact_str::CompactString;
use serde::de::DeserializeOwned;

use crate::{Context, Result};

/// A rule that says which dyes are in a lane.
///
/// Answers must depend on the configuration, the reference set and the question, and on nothing
/// else; that is why a strategy is not mutable while it answers.
/// Where logarithms and their like go into a number, [`Candidate::told`] keeps last digits out of it
/// that another machine would have otherwise.
pub trait Strategy: Sized + Send {
    /// The parameters, with their defaults. `#[serde(default, deny_unknown_fields)]` is a good idea.
    type Config: DeserializeOwned + Default + Send;

    /// Takes in the reference set of one method version. Called once, and again for another one.
    ///
    /// # Errors
    /// When the set can't be used by this strategy at all. An empty set is no error: answer
    /// [`Decision::NoValidReference`].
    fn prepare(config: &Self::Config, set: ReferenceSet) -> Result<Self>;

    /// Answers one lane: every spot, in the order asked.
    ///
    /// # Errors
    /// A failure costs this lane alone; so does a panic.
    fn match_lane(&self, question: &Question<'_>) -> Result<Answer>;
}

/// One lane to answer, with what is known around it.
#[derive(Debug)]
#[non_exhaustive]
pub struct Question<'a> {
    /// The lane.
    pub lane: &'a Lane,
    /// The data sheet it stands on, with the lanes whose dyes are known.
    pub sheet: &'a Sheet,
    /// Log and the host's wish to stop.
    pub context: &'a Context<'a>,
}

impl<'a> Question<'a> {
    /// A question, for tests of a strategy without a host.
    pub fn new(lane: &'a Lane, sheet: &'a Sheet, context: &'a Context<'a>) -> Self {
        Self {
            lane,
            sheet,
            context,
        }
    }

    /// Lanes of known dye other than the one under question.
    pub fn known(&self) -> impl Iterator<Item = &'a KnownLane> {
        let (lane, sheet) = (self.lane, self.sheet);
        sheet.known.iter().filter(move |known| {
            (known.lane, known.paper.as_str()) != (lane.lane, lane.paper.as_str())
        })
    }
}
