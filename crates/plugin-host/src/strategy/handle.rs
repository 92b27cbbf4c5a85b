//! One strategy with its parameters, ready to be asked.

use dyebook_plugin::strategy::{
    Answer, CompactString, Lane, LaneAnswer, MatchRequest, ReferenceSet, Sheet,
};
use dyebook_plugin_abi::{DYB_E_UNSUPPORTED, DYB_OP_MATCH, DYB_OP_MATCH_BINARY, DYB_OP_PREPARE};
use dyebook_schemas::catalogue::{
    STRATEGY_1_MATCH_REQUEST, STRATEGY_1_MATCH_RESPONSE, STRATEGY_1_PREPARE_REQUEST,
    STRATEGY_1_PREPARE_RESPONSE,
};
use serde::Serialize;
use serde_json::{Map, Value};

use super::batches::{Sheets, batches};
use super::bounds;
use super::meaning::{self, DyeNames};
use crate::channel::{Call, Channel};
use crate::failure::{Failure, PluginError};
use crate::launcher::Launcher;
use crate::manifest::{Isolation, Manifest};
use crate::parameters::{ParameterError, parameters};
use crate::provenance::Provenance;
use crate::response;

/// Faults in a row, without an answer between, after which a plug-in is left alone for this run.
const MOST_FAULTS: u32 = 3;

/// A strategy with its parameters. Processes it needs live as long as it.
#[derive(Debug)]
pub struct StrategyHandle {
    launcher: Launcher,
    channel: Option<Box<dyn Channel>>,
    prepared: Option<Prepared>,
    /// The instance at hand was asked before, with or without success.
    called: bool,
    faults: u32,
    /// Ask in binary: until the plug-in says that it does not have that.
    binary: bool,
    sandbox: String,
}

#[derive(Debug)]
struct Prepared {
    request: Vec<u8>,
    references: usize,
    dyes: DyeNames,
}

/// What became of one lane.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LaneOutcome {
    /// The lane's id.
    pub id: CompactString,
    /// The answer, or why there is none.
    pub answer: Result<Answer, LaneFailure>,
}

/// Why a lane has no answer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LaneFailure {
    /// The stable code, such as `plugin.crashed`.
    pub code: String,
    /// A sentence.
    pub text: String,
    /// The end of what the plug-in logged or printed.
    pub log: String,
}

impl StrategyHandle {
    pub(crate) fn new(launcher: Launcher) -> Self {
        let sandbox = String::new();
        Self {
            launcher,
            channel: None,
            prepared: None,
            called: false,
            faults: 0,
            binary: true,
            sandbox,
        }
    }

    /// The same strategy with parameters as typed, `K=V`.
    ///
    /// # Errors
    /// The first one that can't be used.
    pub fn with_parameters(mut self, given: &[String]) -> Result<Self, ParameterError> {
        self.launcher.config = parameters(&self.launcher.component.config_schema, given)?;
        self.channel = None;
        Ok(self)
    }

    /// The same strategy asked in JSON even where it has the binary form, to compare the two.
    #[must_use]
    pub fn in_json(mut self) -> Self {
        self.binary = false;
        self
    }

    /// How the strategy is called on a command line.
    pub fn id(&self) -> String {
        self.launcher.id()
    }

    /// The plug-in's version.
    pub fn version(&self) -> &str {
        &self.launcher.manifest.version
    }

    /// What its results say they were made by: see [`Provenance::digest`].
    pub fn digest(&self) -> String {
        self.provenance().digest
    }

    /// The plug-in's manifest.
    pub fn manifest(&self) -> &Manifest {
        &self.launcher.manifest
    }

    /// Its parameters, defaults filled in.
    pub fn parameters(&self) -> &Map<String, Value> {
        &self.launcher.config
    }

    /// What a stored result says about it. How it was kept apart is known after [`Self::prepare`].
    pub fn provenance(&self) -> Provenance {
        self.launcher.provenance(self.sandbox.clone())
    }

    /// The end of what the plug-in logged or printed.
    pub fn log_tail(&self) -> String {
        self.channel
            .as_ref()
            .map_or_else(String::new, |channel| channel.log_tail())
    }

    /// Hands over the reference set of one method version.
    ///
    /// # Errors
    /// When the plug-in can't be started, or refuses the set.
    pub fn prepare(&mut self, set: &ReferenceSet) -> Result<(), PluginError> {
        let request = response::request(set, &STRATEGY_1_PREPARE_REQUEST)
            .map_err(|failure| self.launcher.fail(failure, None))?;
        let dyes = set
            .references
            .iter()
            .map(|reference| reference.dye.clone())
            .collect();
        let same = |prepared: &Prepared| prepared.request == request;
        if self.channel.is_some() && self.prepared.as_ref().is_some_and(same) {
            return Ok(());
        }
        self.prepared = Some(Prepared {
            request,
            references: set.references.len(),
            dyes,
        });
        // An instance that is there can take another set; one that failed is not asked again.
        if let Some(mut channel) = self.channel.take() {
            self.send_set(channel.as_mut())
                .map_err(|failure| self.launcher.fail(failure, Some(channel.as_ref())))?;
            self.channel = Some(channel);
            return Ok(());
        }
        self.start()
    }

    /// Answers lanes, in the order asked. A lane that the plug-in fails on has the failure for an
    /// answer; the others have theirs.
    ///
    /// # Errors
    /// When no reference set was handed over, or the request itself is not valid.
    pub fn match_lanes(&mut self, request: &MatchRequest) -> Result<Vec<LaneOutcome>, PluginError> {
        self.match_some(&request.lanes, &request.sheets)
    }

    /// The same for some lanes; `sheets` may hold more than those that the lanes stand on.
    ///
    /// # Errors
    /// As [`Self::match_lanes`].
    pub fn match_some(
        &mut self,
        lanes: &[Lane],
        sheets: &[Sheet],
    ) -> Result<Vec<LaneOutcome>, PluginError> {
        if self.prepared.is_none() {
            let text = "match was called before prepare".into();
            return Err(self.launcher.fail(Failure::Protocol { text }, None));
        }
        let one_by_one = self.launcher.isolation == Isolation::PerCall;
        let sheets = Sheets::new(sheets);
        let mut outcomes = Vec::with_capacity(lanes.len());
        for lanes in batches(lanes, &sheets, one_by_one) {
            outcomes.extend(self.batch(lanes, &sheets));
            if one_by_one
                || self
                    .channel
                    .as_mut()
                    .is_some_and(|channel| channel.is_worn())
            {
                self.channel = None;
            }
        }
        Ok(outcomes)
    }

    fn batch(&mut self, lanes: &[Lane], sheets: &Sheets<'_>) -> Vec<LaneOutcome> {
        match self.ask(lanes, sheets) {
            Ok(answers) => answers.into_iter().map(outcome).collect(),
            Err(_) if lanes.len() > 1 => {
                let single = |lane| self.batch(std::slice::from_ref(lane), sheets);
                lanes.iter().flat_map(single).collect()
            }
            Err(error) => lanes.iter().map(|lane| failed(&lane.id, &error)).collect(),
        }
    }

    fn ask(&mut self, lanes: &[Lane], sheets: &Sheets<'_>) -> Result<Vec<LaneAnswer>, PluginError> {
        if self.faults >= MOST_FAULTS {
            return Err(self.launcher.fail(
                Failure::Disabled {
                    faults: self.faults,
                },
                None,
            ));
        }
        let request = sheets.request_for(lanes);
        let (op, request) = if self.binary {
            let bytes = response::binary_request(&request, &STRATEGY_1_MATCH_REQUEST);
            (DYB_OP_MATCH_BINARY, bytes)
        } else {
            let bytes = response::request(&request, &STRATEGY_1_MATCH_REQUEST);
            (DYB_OP_MATCH, bytes)
        };
        let request = request.map_err(|failure| self.launcher.fail(failure, None))?;
        if self.channel.is_none()
            && let Err(error) = self.start()
        {
            self.count(true);
            return Err(error);
        }
        let (Some(mut channel), Some(prepared)) = (self.channel.take(), &self.prepared) else {
            let text = "no instance".into();
            return Err(self.launcher.fail(Failure::Protocol { text }, None));
        };
        let used = std::mem::replace(&mut self.called, true);
        let call = Call {
            op,
            request: &request,
            blob: &[],
            items: lanes.len(),
        };
        let answers = channel.call(call).and_then(|bytes| {
            let response = if op == DYB_OP_MATCH_BINARY {
                bounds::read(&bytes)?
            } else {
                response::read(&bytes, &STRATEGY_1_MATCH_RESPONSE)?
            };
            meaning::answers(response, lanes, &prepared.dyes)
        });
        match answers {
            Err(Failure::Error {
                status: DYB_E_UNSUPPORTED,
                ..
            }) if self.binary => {
                self.binary = false;
                self.channel = Some(channel);
                self.ask(lanes, sheets)
            }
            Ok(answers) => {
                self.faults = 0;
                self.launcher.note_run(false);
                self.channel = Some(channel);
                Ok(answers)
            }
            // In a process that was asked before, the fault may be left over from an earlier lane
            // (a thread that crashes later, bytes sent behind an answer). A single lane is guilty
            // only in a fresh one.
            Err(failure) if used && lanes.len() == 1 && failure.may_be_left_over() => {
                drop(channel);
                self.ask(lanes, sheets)
            }
            Err(failure) => {
                self.count(failure.is_fault());
                let error = self.launcher.fail(failure, Some(channel.as_ref()));
                if !error.failure.ends_process() {
                    self.channel = Some(channel);
                }
                Err(error)
            }
        }
    }

    fn count(&mut self, fault: bool) {
        self.faults += u32::from(fault);
        if fault && self.faults == MOST_FAULTS {
            self.launcher.note_run(true);
        }
    }

    fn start(&mut self) -> Result<(), PluginError> {
        let started = self.launcher.start();
        let mut channel = started.map_err(|failure| self.launcher.fail(failure, None))?;
        self.send_set(channel.as_mut())
            .map_err(|failure| self.launcher.fail(failure, Some(channel.as_ref())))?;
        self.sandbox = channel.sandbox();
        self.called = false;
        self.channel = Some(channel);
        Ok(())
    }

    fn send_set(&self, channel: &mut dyn Channel) -> Result<(), Failure> {
        let Some(prepared) = &self.prepared else {
            return Ok(());
        };
        let (request, items) = (&prepared.request, prepared.references);
        let call = Call {
            op: DYB_OP_PREPARE,
            request,
            blob: &[],
            items,
        };
        let _: Value = response::read(&channel.call(call)?, &STRATEGY_1_PREPARE_RESPONSE)?;
        Ok(())
    }
}

fn outcome(answer: LaneAnswer) -> LaneOutcome {
    match answer {
        LaneAnswer::Answered { id, answer } => LaneOutcome {
            id,
            answer: Ok(answer),
        },
        LaneAnswer::Failed { id, error } => {
            let failure = LaneFailure {
                code: "plugin.error".into(),
                text: error,
                log: String::new(),
            };
            LaneOutcome {
                id,
                answer: Err(failure),
            }
        }
    }
}

fn failed(id: &str, error: &PluginError) -> LaneOutcome {
    let failure = LaneFailure {
        code: error.id().into(),
        text: error.to_string(),
        log: error.log.clone(),
    };
    LaneOutcome {
        id: id.into(),
        answer: Err(failure),
    }
}
