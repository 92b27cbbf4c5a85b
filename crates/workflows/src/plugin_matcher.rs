//! A strategy of a plug-in as a matcher of lanes.

use crate::failure::{Failure, FailureClass};
use crate::identify::Matcher;
use dyebook_documents::StrategyStamp;
use dyebook_plugin::strategy as message;
use dyebook_plugin_host::{LaneOutcome, PluginError, Plugins, StrategyHandle};
use rayon::prelude::*;
use serde_json::{Map, Value};

/// Fewer lanes than this are not worth a second instance.
const LANES_AN_INSTANCE: usize = 64;

/// A strategy of a plug-in, ready to answer: an instance a core.
#[derive(Debug)]
pub struct PluginMatcher {
    first: StrategyHandle,
    others: Vec<StrategyHandle>,
}

impl PluginMatcher {
    /// The strategy with that identifier and those parameters (`key=value`).
    ///
    /// # Errors
    /// No such strategy, one that is not approved, a parameter it does not have.
    pub fn new(plugins: &Plugins, id: &str, parameters: &[String]) -> Result<Self, Failure> {
        let instance = || {
            let handle = plugins
                .strategy(id)
                .map_err(|error| plugin_failure(&error))?;
            handle.with_parameters(parameters).map_err(|error| {
                let mut failure = Failure::refused(error.id(), error.to_string());
                failure.hints = error.hints();
                failure
            })
        };
        Ok(Self {
            first: instance()?,
            others: (1..rayon::current_num_threads())
                .map(|_| instance())
                .collect::<Result<_, _>>()?,
        })
    }

    /// The strategy that an identification names, with the parameters that it had.
    ///
    /// # Errors
    /// As [`PluginMatcher::new`].
    pub fn as_stamped(plugins: &Plugins, stamp: &StrategyStamp) -> Result<Self, Failure> {
        let typed = |(name, value): (&String, &Value)| match value {
            Value::String(text) => format!("{name}={text}"),
            other => format!("{name}={other}"),
        };
        let parameters: Vec<String> = stamp.parameters.iter().map(typed).collect();
        Self::new(plugins, &stamp.id, &parameters)
    }
}

impl Matcher for PluginMatcher {
    fn stamp(&self) -> StrategyStamp {
        let provenance = match serde_json::to_value(self.first.provenance()) {
            Ok(Value::Object(members)) => members,
            _ => Map::new(),
        };
        StrategyStamp {
            id: self.first.id().clone(),
            version: self.first.version().to_owned(),
            digest: self.first.digest().clone(),
            parameters: self.first.parameters().clone(),
            provenance,
        }
    }

    fn answer(
        &mut self,
        set: &message::ReferenceSet,
        request: &message::MatchRequest,
    ) -> Result<Vec<message::LaneAnswer>, Failure> {
        let instances = (request.lanes.len() / LANES_AN_INSTANCE).clamp(1, 1 + self.others.len());
        let share = request.lanes.len().div_ceil(instances).max(1);
        let mut parts = request.lanes.chunks(share);
        // The first one is asked even about nothing: it says whether it takes the reference set.
        let first = (&mut self.first, parts.next().unwrap_or_default());
        let mut shares = vec![first];
        shares.extend(self.others.iter_mut().zip(parts));
        let outcomes: Vec<Vec<LaneOutcome>> = shares
            .into_par_iter()
            .map(|(handle, lanes)| {
                handle.prepare(set)?;
                handle.match_some(lanes, &request.sheets)
            })
            .collect::<Result<_, PluginError>>()
            .map_err(|error| plugin_failure(&error))?;
        Ok(outcomes.into_iter().flatten().map(answer).collect())
    }
}

fn answer(outcome: LaneOutcome) -> message::LaneAnswer {
    match outcome.answer {
        Ok(answer) => message::LaneAnswer::Answered {
            id: outcome.id,
            answer,
        },
        Err(failure) => message::LaneAnswer::Failed {
            id: outcome.id,
            error: format!("{}: {}", failure.code, failure.text),
        },
    }
}

/// A plug-in's failure in the shape of all failures.
pub fn plugin_failure(error: &PluginError) -> Failure {
    // A name that leads nowhere is a slip of the person, not a failure of a plug-in.
    let (class, message) = match &error.failure {
        dyebook_plugin_host::Failure::NotFound { text } => (FailureClass::Refused, text.clone()),
        _ => (FailureClass::PlugIn, error.to_string()),
    };
    let mut failure = Failure::new(class, error.id(), message);
    failure.hints = error.hints();
    failure
}
