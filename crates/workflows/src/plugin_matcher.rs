//! A strategy of a plug-in as a matcher of lanes.

use crate::failure::{Failure, FailureClass};
use crate::matcher::{Instance, Matcher};
use dyebook_documents::StrategyStamp;
use dyebook_plugin::strategy as message;
use dyebook_plugin_host::{LaneOutcome, PluginError, Plugins, StrategyHandle};
use serde_json::{Map, Value};

/// Fewer lanes than this are not worth a second instance.
const LANES_AN_INSTANCE: usize = 64;

/// A strategy of a plug-in, ready to answer: an instance a core.
#[derive(Debug)]
pub struct PluginMatcher {
    /// The first one is always there.
    instances: Vec<PluginInstance>,
    /// How many of them were handed the reference set.
    prepared: usize,
}

#[derive(Debug)]
struct PluginInstance(StrategyHandle);

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
        let instances = (0..rayon::current_num_threads().max(1))
            .map(|_| instance().map(PluginInstance))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            instances,
            prepared: 1,
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
    fn prepare(&mut self, set: &message::ReferenceSet, lanes: usize) -> Result<(), Failure> {
        self.prepared = (lanes / LANES_AN_INSTANCE).clamp(1, self.instances.len());
        for PluginInstance(handle) in self.instances.iter_mut().take(self.prepared) {
            handle
                .prepare(set)
                .map_err(|error| plugin_failure(&error))?;
        }
        Ok(())
    }

    #[expect(clippy::indexing_slicing, reason = "the first one is always there")]
    fn stamp(&self) -> StrategyStamp {
        let PluginInstance(first) = &self.instances[0];
        let provenance = match serde_json::to_value(first.provenance()) {
            Ok(Value::Object(members)) => members,
            _ => Map::new(),
        };
        StrategyStamp {
            id: first.id().clone(),
            version: first.version().to_owned(),
            digest: first.digest().clone(),
            parameters: first.parameters().clone(),
            provenance,
        }
    }

    fn instances(&mut self) -> Vec<&mut dyn Instance> {
        let prepared = self.instances.iter_mut().take(self.prepared);
        prepared.map(|one| one as &mut dyn Instance).collect()
    }
}

impl Instance for PluginInstance {
    fn answer(
        &mut self,
        lanes: &[message::Lane],
        sheets: &[message::Sheet],
    ) -> Result<Vec<message::LaneAnswer>, Failure> {
        let outcomes = self.0.match_some(lanes, sheets);
        let outcomes = outcomes.map_err(|error| plugin_failure(&error))?;
        Ok(outcomes.into_iter().map(answer).collect())
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
