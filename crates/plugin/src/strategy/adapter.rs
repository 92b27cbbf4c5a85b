//! From JSON requests to a [`Strategy`] and back.

use std::panic::{AssertUnwindSafe, catch_unwind};

use dyebook_plugin_abi::{DYB_OP_MATCH, DYB_OP_MATCH_BINARY, DYB_OP_PREPARE};
use serde::Serialize;

use super::answers::Outcomes;
use super::{LaneAnswer, MatchRequest, Question, Sheet, Strategy};
use crate::component::{Call, Component};
use crate::{Error, Result, panic_text};

/// A strategy as a component of a plug-in. Made by [`plugin!`](crate::plugin!).
#[derive(Debug)]
pub struct StrategyComponent<S: Strategy> {
    config: S::Config,
    prepared: Option<S>,
}

impl<S: Strategy<Config: 'static> + 'static> StrategyComponent<S> {
    /// An instance with this configuration.
    ///
    /// # Errors
    /// When the configuration is not one of this strategy.
    pub fn create(config: &[u8]) -> Result<Box<dyn Component>> {
        Ok(Box::new(Self {
            config: crate::component::config(config)?,
            prepared: None,
        }))
    }

    fn answer(&self, request: &MatchRequest, call: &Call<'_>) -> Result<Vec<LaneAnswer>> {
        let Some(strategy) = &self.prepared else {
            return Err(Error::invalid("match was called before prepare"));
        };
        let empty = Sheet::default();
        let mut answers = Vec::with_capacity(request.lanes.len());
        for lane in &request.lanes {
            if call.context.should_stop() {
                return Err(Error::cancelled());
            }
            let sheet = request
                .sheets
                .iter()
                .find(|s| s.sheet == lane.sheet)
                .unwrap_or(&empty);
            let question = Question::new(lane, sheet, &call.context);
            // A strategy can't be changed by a question, so a panic leaves nothing half done.
            let answered = catch_unwind(AssertUnwindSafe(|| strategy.match_lane(&question)));
            answers.push(match answered {
                Ok(Ok(answer)) => LaneAnswer::Answered {
                    id: lane.id.clone(),
                    answer,
                },
                Ok(Err(error)) => LaneAnswer::Failed {
                    id: lane.id.clone(),
                    error: error.to_string(),
                },
                Err(panic) => LaneAnswer::Failed {
                    id: lane.id.clone(),
                    error: panic_text(&*panic),
                },
            });
        }
        Ok(answers)
    }
}

#[derive(Serialize)]
struct Lanes<'a> {
    lanes: &'a [LaneAnswer],
}

impl<S: Strategy<Config: 'static> + 'static> Component for StrategyComponent<S> {
    fn call(&mut self, call: &mut Call<'_>) -> Result<()> {
        match call.op {
            DYB_OP_PREPARE => {
                // The old set is gone even when the new one is refused: a strategy never answers
                // by a set that the host believes replaced.
                self.prepared = None;
                self.prepared = Some(S::prepare(&self.config, call.read_request()?)?);
                call.write(b"{}")
            }
            DYB_OP_MATCH => {
                let answers = self.answer(&call.read_request()?, call)?;
                call.write_json(&Lanes { lanes: &answers })
            }
            DYB_OP_MATCH_BINARY => {
                let answers = self.answer(&call.read_binary()?, call)?;
                call.write_binary(&Outcomes(&answers))
            }
            op => Err(Error::unsupported(op)),
        }
    }
}
