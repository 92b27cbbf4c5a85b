//! What every case has at hand.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use dyebook_plugin::binary;
use dyebook_plugin::strategy::{LaneAnswer, MatchRequest, ReferenceSet};
use dyebook_plugin_abi::{DYB_OK, DYB_OP_IMPORT, DYB_OP_MATCH, DYB_OP_PREPARE, DYB_OP_PROBE};
use dyebook_plugin_host::kit::{
    self, Exercise, Message, Report, Step, StepReport, Subject, Worker,
};
use dyebook_plugin_host::{Component, Inspection, parameters};
use serde::Serialize;
use serde_json::Value;

use crate::kit::Options;
use crate::report::{Grade, Verdict};

/// A case may take so long; one that hangs is ended then.
pub(crate) const PATIENCE: Duration = Duration::from_mins(1);

/// A component under test.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bench<'b> {
    pub(crate) subject: &'b Subject,
    pub(crate) component: &'b Component,
    pub(crate) folder: &'b Path,
    pub(crate) inspection: &'b Inspection,
    pub(crate) options: &'b Options,
}

impl Bench<'_> {
    /// The configuration with all defaults.
    pub(crate) fn config(&self) -> String {
        let config = parameters(&self.component.config_schema, &[]).unwrap_or_default();
        Value::Object(config).to_string()
    }

    pub(crate) fn create(&self) -> Step {
        Step::Create {
            component: self.component.name.clone(),
            config: self.config(),
        }
    }

    /// Carries out steps in a worker of their own.
    pub(crate) fn steps(&self, steps: Vec<Step>) -> Result<Report, Verdict> {
        self.exercise(
            &Exercise {
                steps,
                ..Exercise::default()
            },
            &[],
        )
    }

    pub(crate) fn exercise(&self, exercise: &Exercise, blob: &[u8]) -> Result<Report, Verdict> {
        let mut worker = self.worker()?;
        Ok(worker.exercise(exercise, blob, PATIENCE)?)
    }

    pub(crate) fn worker(&self) -> Result<Worker, Verdict> {
        Ok(self.subject.start()?)
    }

    /// Asks the strategy in a fresh worker: the response as it came.
    pub(crate) fn answer(
        &self,
        set: &ReferenceSet,
        request: &MatchRequest,
    ) -> Result<String, Verdict> {
        let report = self.steps(vec![self.create(), prepare(0, set), ask(0, request)])?;
        let said = good(&report, 2, "match")?;
        kit::judge_match(&said.out, request, set)?;
        Ok(said.out.clone())
    }

    /// The same, looked at by form and meaning.
    pub(crate) fn answers(
        &self,
        set: &ReferenceSet,
        request: &MatchRequest,
    ) -> Result<Vec<LaneAnswer>, Verdict> {
        let out = self.answer(set, request)?;
        Ok(kit::judge_match(&out, request, set)?)
    }

    /// The files that an importer brings of a kind, `accepted` or `refused`.
    pub(crate) fn files(&self, which: &str) -> Vec<(PathBuf, Vec<u8>)> {
        // Without samples there is nothing to read.
        let entries = fs::read_dir(self.folder.join("samples").join(which))
            .into_iter()
            .flatten();
        let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
        paths.sort();
        paths
            .into_iter()
            .filter_map(|path| fs::read(&path).ok().map(|bytes| (path, bytes)))
            .collect()
    }

    /// Imports bytes in a fresh worker.
    pub(crate) fn import(&self, bytes: &[u8]) -> Result<StepReport, Verdict> {
        let exercise = Exercise {
            steps: vec![self.create(), import(0)],
            ..Exercise::default()
        };
        let mut report = self.exercise(&exercise, bytes)?;
        Ok(report.steps.pop().unwrap_or_default())
    }
}

pub(crate) fn call(instance: usize, op: u32, request: String, blob: bool) -> Step {
    Step::Call {
        instance,
        op,
        request: Message::Text(request),
        blob,
    }
}

/// A call in the binary form.
pub(crate) fn call_in_binary(op: u32, request: &impl Serialize, blob: bool) -> Step {
    Step::Call {
        instance: 0,
        op,
        request: Message::Bytes(binary::write(request).unwrap_or_default()),
        blob,
    }
}

pub(crate) fn prepare(instance: usize, set: &ReferenceSet) -> Step {
    call(
        instance,
        DYB_OP_PREPARE,
        serde_json::to_string(set).unwrap_or_default(),
        false,
    )
}

pub(crate) fn ask(instance: usize, request: &MatchRequest) -> Step {
    call(
        instance,
        DYB_OP_MATCH,
        serde_json::to_string(request).unwrap_or_default(),
        false,
    )
}

pub(crate) fn probe(instance: usize, name: &str, size: usize) -> Step {
    let request = serde_json::json!({ "name": name, "size": size }).to_string();
    call(instance, DYB_OP_PROBE, request, true)
}

pub(crate) fn import(instance: usize) -> Step {
    call(instance, DYB_OP_IMPORT, r#"{"name":"sample"}"#.into(), true)
}

/// A step that must have succeeded.
pub(crate) fn good<'r>(
    report: &'r Report,
    step: usize,
    what: &str,
) -> Result<&'r StepReport, Verdict> {
    let said = report.steps.get(step);
    let said = said.ok_or_else(|| Verdict::new(Grade::Fail, format!("{what} was not reached")))?;
    if said.status == DYB_OK && !said.refused {
        return Ok(said);
    }
    let text = format!("{what} returned {}: {}", said.status, said.err);
    Err(Verdict::new(Grade::Fail, text))
}
