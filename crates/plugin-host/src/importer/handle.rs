//! One importer with its parameters.

use dyebook_plugin::importer::{
    Confidence, ImportRequest, Imported, ProbeRequest, Problem, Refusal,
};
use dyebook_plugin_abi::{
    DYB_E_DATA, DYB_E_UNSUPPORTED, DYB_OP_IMPORT, DYB_OP_IMPORT_BINARY, DYB_OP_PROBE,
};
use dyebook_schemas::Schema;
use dyebook_schemas::catalogue::{
    IMPORTER_1_IMPORT_REQUEST, IMPORTER_1_IMPORT_RESPONSE, IMPORTER_1_PROBE_REQUEST,
    IMPORTER_1_PROBE_RESPONSE, IMPORTER_1_REFUSAL,
};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use super::bounds;
use crate::channel::{Call, Channel};
use crate::failure::{Failure, PluginError};
use crate::launcher::Launcher;
use crate::manifest::Manifest;
use crate::parameters::{ParameterError, parameters};
use crate::provenance::Provenance;
use crate::response;

/// How much of a file an importer sees to say whether it is its own.
const HEAD: usize = 64 * 1024;
/// A call is given the time of one item more for so many bytes.
const BYTES_AN_ITEM: usize = 64 * 1024;

/// An importer with its parameters. Every file has an instance, and outside the program a process,
/// of its own.
#[derive(Clone, Debug)]
pub struct ImporterHandle {
    launcher: Launcher,
    /// Ask in binary where the plug-in has that.
    binary: bool,
}

/// What became of a file.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ImportOutcome {
    /// It was read whole.
    Imported(Box<Imported>),
    /// It was refused whole.
    Refused {
        /// Everything that is wrong with it.
        problems: Vec<Problem>,
    },
}

impl ImporterHandle {
    pub(crate) fn new(launcher: Launcher) -> Self {
        Self {
            launcher,
            binary: true,
        }
    }

    /// The same importer with parameters as typed, `K=V`.
    ///
    /// # Errors
    /// The first one that can't be used.
    pub fn with_parameters(mut self, given: &[String]) -> Result<Self, ParameterError> {
        // Its defaults it has already; a schema is not read again for every file.
        if given.is_empty()
            && self
                .launcher
                .component
                .config_schema
                .get("required")
                .is_none()
        {
            return Ok(self);
        }
        self.launcher.config = parameters(&self.launcher.component.config_schema, given)?;
        Ok(self)
    }

    /// The same importer asked in JSON even where it has the binary form, to compare the two.
    #[must_use]
    pub fn in_json(mut self) -> Self {
        self.binary = false;
        self
    }

    /// How the importer is called on a command line.
    pub fn id(&self) -> String {
        self.launcher.id()
    }

    /// The plug-in's version.
    pub fn version(&self) -> &str {
        &self.launcher.manifest.version
    }

    /// The plug-in's manifest.
    pub fn manifest(&self) -> &Manifest {
        &self.launcher.manifest
    }

    /// Its parameters, defaults filled in.
    pub fn parameters(&self) -> &Map<String, Value> {
        &self.launcher.config
    }

    /// What a stored sheet says about it.
    pub fn provenance(&self) -> Provenance {
        self.launcher.provenance(String::new())
    }

    /// How sure the importer is that a file is its own.
    ///
    /// # Errors
    /// When the plug-in fails.
    pub fn probe(&self, name: &str, bytes: &[u8]) -> Result<Confidence, PluginError> {
        let request = ProbeRequest::new(name, bytes.len() as u64);
        let head = bytes.get(..bytes.len().min(HEAD)).unwrap_or_default();
        let schemas = (&IMPORTER_1_PROBE_REQUEST, &IMPORTER_1_PROBE_RESPONSE);
        self.ask(DYB_OP_PROBE, &request, head, schemas)
    }

    /// Reads a file.
    ///
    /// # Errors
    /// When the plug-in fails; a file that it refuses is an outcome.
    pub fn import(&self, name: &str, bytes: &[u8]) -> Result<ImportOutcome, PluginError> {
        if let Some(most) = self.launcher.component.max_bytes
            && bytes.len() as u64 > most
        {
            let problem = Problem::new(format!(
                "the file has {} bytes, and `{}` takes at most {most}",
                bytes.len(),
                self.id()
            ));
            let problem = problem.hint("split it, or check that it is the right file");
            return Ok(ImportOutcome::Refused {
                problems: vec![problem],
            });
        }
        match self.read(&ImportRequest::new(name), bytes) {
            Ok(imported) => Ok(ImportOutcome::Imported(Box::new(imported))),
            Err(error) => match &error.failure {
                Failure::Error {
                    status: DYB_E_DATA,
                    text,
                } => Ok(ImportOutcome::Refused {
                    problems: problems(text),
                }),
                _ => Err(error),
            },
        }
    }

    /// Asks for a file in binary, or in JSON where the plug-in does not have that.
    fn read(&self, request: &ImportRequest, file: &[u8]) -> Result<Imported, PluginError> {
        let asked = &IMPORTER_1_IMPORT_REQUEST;
        if self.binary {
            let bytes = response::binary_request(request, asked)
                .map_err(|failure| self.launcher.fail(failure, None))?;
            let answer = self.call(DYB_OP_IMPORT_BINARY, &bytes, file, bounds::read);
            if !answer.as_ref().is_err_and(has_no_binary_form) {
                return answer;
            }
        }
        let schemas = (asked, &IMPORTER_1_IMPORT_RESPONSE);
        self.ask(DYB_OP_IMPORT, request, file, schemas)
    }

    fn ask<Q: Serialize, A: DeserializeOwned>(
        &self,
        op: u32,
        request: &Q,
        blob: &[u8],
        (asked, answered): (&Schema, &Schema),
    ) -> Result<A, PluginError> {
        let request = response::request(request, asked)
            .map_err(|failure| self.launcher.fail(failure, None))?;
        self.call(op, &request, blob, |bytes| response::read(bytes, answered))
    }

    fn call<A>(
        &self,
        op: u32,
        request: &[u8],
        blob: &[u8],
        read: impl FnOnce(&[u8]) -> Result<A, Failure>,
    ) -> Result<A, PluginError> {
        let mut channel = self
            .launcher
            .start()
            .map_err(|failure| self.launcher.fail(failure, None))?;
        let items = blob.len() / BYTES_AN_ITEM + 1;
        channel
            .call(Call {
                op,
                request,
                blob,
                items,
            })
            .and_then(|bytes| read(&bytes))
            .map_err(|failure| {
                self.launcher
                    .fail(failure, Some(channel.as_ref() as &dyn Channel))
            })
    }
}

fn has_no_binary_form(error: &PluginError) -> bool {
    matches!(&error.failure, Failure::Error { status, .. } if *status == DYB_E_UNSUPPORTED)
}

/// The problems of a refusal; a text that is no such JSON is one problem as it stands.
fn problems(text: &str) -> Vec<Problem> {
    let refusal: Result<Refusal, Failure> = response::read(text.as_bytes(), &IMPORTER_1_REFUSAL);
    refusal.map_or_else(
        |_no_json| vec![Problem::new(text)],
        |refusal| refusal.problems,
    )
}
