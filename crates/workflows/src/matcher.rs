//! A strategy as the workflows see it.

use crate::failure::Failure;
use dyebook_documents::StrategyStamp;
use dyebook_plugin::strategy as message;
use rayon::prelude::*;

/// A strategy that answers lanes; the plug-in host has it.
pub trait Matcher: Send {
    /// Hands over a reference set, to as many instances as are worth it for so many lanes.
    ///
    /// # Errors
    /// When the strategy can't be used at all.
    fn prepare(&mut self, set: &message::ReferenceSet, lanes: usize) -> Result<(), Failure>;

    /// Which strategy, with its parameters and where it runs, which is known once it is prepared.
    fn stamp(&self) -> StrategyStamp;

    /// The instances that were handed the set, one at least: each may be asked on a core of its own.
    fn instances(&mut self) -> Vec<&mut dyn Instance>;
}

/// One instance of a strategy.
pub trait Instance: Send {
    /// Answers lanes: one answer a lane, in the order asked. Among the sheets are those that the
    /// lanes stand on.
    ///
    /// # Errors
    /// When the strategy can't be used at all; a failure of one lane is its answer.
    fn answer(
        &mut self,
        lanes: &[message::Lane],
        sheets: &[message::Sheet],
    ) -> Result<Vec<message::LaneAnswer>, Failure>;
}

/// Items cut into as many runs as there are instances.
pub(crate) fn shares<'a, T>(
    instances: Vec<&'a mut dyn Instance>,
    items: &'a [T],
) -> Vec<(&'a mut dyn Instance, &'a [T])> {
    let share = items.len().div_ceil(instances.len().max(1)).max(1);
    instances.into_iter().zip(items.chunks(share)).collect()
}

/// Answers to any number of lanes, in the order asked, by all instances together.
///
/// # Errors
/// When the strategy can't be used at all.
pub(crate) fn answers(
    matcher: &mut dyn Matcher,
    set: &message::ReferenceSet,
    request: &message::MatchRequest,
) -> Result<Vec<message::LaneAnswer>, Failure> {
    matcher.prepare(set, request.lanes.len())?;
    let answers: Vec<Vec<message::LaneAnswer>> = shares(matcher.instances(), &request.lanes)
        .into_par_iter()
        .map(|(instance, lanes)| instance.answer(lanes, &request.sheets))
        .collect::<Result<_, Failure>>()?;
    Ok(answers.into_iter().flatten().collect())
}
