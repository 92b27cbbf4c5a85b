//! Starts instances of one component, again and again where need be.

use std::fmt;

use dyebook_plugin_abi::dyb_plugin;
use serde_json::{Map, Value};

use crate::approvals::ApprovalFiles;
use crate::bundled::Origin;
use crate::channel::{Channel, InProcess, judge};
use crate::check::Descriptor;
use crate::failure::{Failure, PluginError, Stage};
use crate::greeting::Init;
use crate::instance::Instance;
use crate::limits::Limits;
use crate::manifest::{Component, Isolation, Manifest};
use crate::process::{Process, WorkerProgram};
use crate::provenance::Provenance;

/// All that is needed to start an instance of one component with one configuration.
#[derive(Clone)]
pub(crate) struct Launcher {
    pub(crate) manifest: Manifest,
    pub(crate) component: Component,
    pub(crate) origin: Origin,
    pub(crate) config: Map<String, Value>,
    pub(crate) limits: Limits,
    pub(crate) isolation: Isolation,
    /// Run a bundled plug-in in a worker too.
    pub(crate) isolate_bundled: bool,
    pub(crate) sandbox_required: bool,
    /// How to start a worker.
    pub(crate) program: WorkerProgram,
    /// Where to note how a run ended: approvals, and bad runs before this one.
    pub(crate) runs: Option<Runs>,
}

/// The approvals of an external plug-in, and how its earlier runs ended.
#[derive(Clone, Debug)]
pub(crate) struct Runs {
    pub(crate) files: ApprovalFiles,
    pub(crate) bad_before: u32,
}

impl Launcher {
    /// Notes that the plug-in was switched off, or that it answered after bad runs.
    pub(crate) fn note_run(&mut self, switched_off: bool) {
        let Some(runs) = self
            .runs
            .as_mut()
            .filter(|runs| switched_off || runs.bad_before > 0)
        else {
            return;
        };
        runs.bad_before = u32::from(switched_off);
        // Whether it can be noted changes nothing about this run's answers.
        let _ = runs.files.note_run(&self.manifest.id, switched_off);
    }

    pub(crate) fn start(&self) -> Result<Box<dyn Channel>, Failure> {
        let config = Value::Object(self.config.clone()).to_string();
        if let (Origin::Bundled { descriptor }, false) = (&self.origin, self.isolate_bundled) {
            let instance = instance(descriptor, &self.manifest, &self.component.name, &config)?;
            return Ok(Box::new(InProcess {
                instance,
                limits: self.limits,
            }));
        }
        let component = Some(self.component.name.as_str());
        Ok(Box::new(self.worker(component, config)?))
    }

    /// Starts a worker around the plug-in, with an instance of a component or none.
    pub(crate) fn worker(
        &self,
        component: Option<&str>,
        config: String,
    ) -> Result<Process, Failure> {
        let init = Init {
            load: self.origin.load(&self.manifest),
            component: component.map(Into::into),
            config,
            limits: self.limits,
            sandbox_required: self.sandbox_required,
            host: i32::try_from(std::process::id()).unwrap_or(0),
        };
        let process = Process::start(&self.program, &init)?;
        crate::describe::agrees(process.describe(), &self.manifest)?;
        Ok(process)
    }

    pub(crate) fn provenance(&self, sandbox: String) -> Provenance {
        let bundled = matches!(self.origin, Origin::Bundled { .. });
        Provenance {
            plugin: self.manifest.id.clone(),
            component: self.component.name.clone(),
            kind: self.component.kind,
            contract: self.component.contract.clone(),
            version: self.manifest.version.clone(),
            digest: self.origin.digest(&self.manifest),
            manifest_sha256: self.manifest.sha256.clone(),
            bundled,
            parameters: self.config.clone(),
            sandbox,
        }
    }

    /// How the component is called on a command line: its short name where it is bundled, else with
    /// its plug-in's id before it.
    pub(crate) fn id(&self) -> String {
        match &self.origin {
            Origin::Bundled { .. } => self.component.name.clone(),
            Origin::External(_) => format!("{}/{}", self.manifest.id, self.component.name),
        }
    }

    pub(crate) fn fail(&self, failure: Failure, channel: Option<&dyn Channel>) -> PluginError {
        let log = channel.map(Channel::log_tail).unwrap_or_default();
        PluginError::new(&self.manifest.id, failure).with_log(log)
    }
}

/// Checks a descriptor against the manifest and makes an instance: the way for a plug-in that is
/// linked in, in the program as in a worker.
pub(crate) fn instance(
    table: &'static dyb_plugin,
    manifest: &Manifest,
    component: &str,
    config: &str,
) -> Result<Instance, Failure> {
    let descriptor = linked(table)?;
    crate::describe::agrees(&descriptor.describe, manifest)?;
    create(&descriptor, component, config)
}

/// Makes an instance behind a descriptor that was looked at.
pub(crate) fn create(
    descriptor: &Descriptor,
    component: &str,
    config: &str,
) -> Result<Instance, Failure> {
    Instance::create(descriptor.table, component, config.as_bytes()).map_err(|returned| {
        let text = match judge(returned, 0) {
            Err(failure) => failure.to_string(),
            Ok(_) => "it returned no instance".into(),
        };
        Failure::LoadFailed {
            stage: Stage::Create,
            text,
        }
    })
}

#[expect(unsafe_code, reason = "looks at a table that is linked in")]
pub(crate) fn linked(table: &'static dyb_plugin) -> Result<Descriptor, Failure> {
    // SAFETY: a static reference to a whole table.
    unsafe { crate::check::check(table) }
}

impl fmt::Debug for Launcher {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Launcher")
            .field("plugin", &self.manifest.id)
            .field("component", &self.component.name)
            .finish_non_exhaustive()
    }
}
