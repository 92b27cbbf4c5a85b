//! A strategy of a plug-in as a matcher of lanes.

use crate::failure::{Failure, FailureClass};
use crate::identify::Matcher;
use dyebook_documents::StrategyStamp;
use dyebook_plugin::strategy as message;
use dyebook_plugin_host::{PluginError, Plugins, StrategyHandle};
use serde_json::{Map, Value};

/// A strategy of a plug-in, ready to answer.
#[derive(Debug)]
pub struct PluginMatcher {
    handle: StrategyHandle,
}

impl PluginMatcher {
    /// The strategy with that identifier and those parameters (`key=value`).
    ///
    /// # Errors
    /// No such strategy, one that is not approved, a parameter it does not have.
    pub fn new(plugins: &Plugins, id: &str, parameters: &[String]) -> Result<Self, Failure> {
        let handle = plugins
            .strategy(id)
            .map_err(|error| plugin_failure(&error))?;
        let handle = handle.with_parameters(parameters).map_err(|error| {
            let mut failure = Failure::refused(error.id(), error.to_string());
            failure.hints = error.hints();
            failure
        })?;
        Ok(Self { handle })
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
        let provenance = match serde_json::to_value(self.handle.provenance()) {
            Ok(Value::Object(members)) => members,
            _ => Map::new(),
        };
        StrategyStamp {
            id: self.handle.id().clone(),
            version: self.handle.version().to_owned(),
            digest: self.handle.digest().clone(),
            parameters: self.handle.parameters().clone(),
            provenance,
        }
    }

    fn answer(
        &mut self,
        set: &message::ReferenceSet,
        request: &message::MatchRequest,
    ) -> Result<Vec<message::LaneAnswer>, Failure> {
        self.handle
            .prepare(set)
            .map_err(|error| plugin_failure(&error))?;
        let outcomes = self
            .handle
            .match_lanes(request)
            .map_err(|error| plugin_failure(&error))?;
        Ok(outcomes
            .into_iter()
            .map(|outcome| match outcome.answer {
                Ok(answer) => message::LaneAnswer::Answered {
                    id: outcome.id,
                    answer,
                },
                Err(failure) => message::LaneAnswer::Failed {
                    id: outcome.id,
                    error: format!("{}: {}", failure.code, failure.text),
                },
            })
            .collect())
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
