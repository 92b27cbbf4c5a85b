//! What the caller decides: this crate reads no environment.

use std::path::PathBuf;

use crate::approvals::ApprovalFiles;
use crate::limits::Limits;
use crate::process::WorkerProgram;

/// How plug-ins are found and kept apart.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Settings {
    /// Folders to look for plug-ins in, the first ones first. Never the current one, and never one
    /// beside a data file.
    pub search: Vec<PathBuf>,
    /// Where approvals stand.
    pub approvals: ApprovalFiles,
    /// The most that any manifest gets.
    pub ceiling: Limits,
    /// Which program to start as a worker.
    pub worker: WorkerProgram,
    /// Which plug-ins run in workers of their own.
    pub isolate: Isolate,
    /// Refuse to load a plug-in where the kernel can't close all of the sandbox.
    pub sandbox_required: bool,
}

/// Which plug-ins run in workers of their own.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Isolate {
    /// External ones: always, whatever is set.
    #[default]
    External,
    /// Bundled ones too.
    All,
    /// All of them, with a new worker for every call.
    PerCall,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            search: Vec::new(),
            approvals: ApprovalFiles::default(),
            ceiling: Limits::CEILING,
            worker: WorkerProgram::itself(),
            isolate: Isolate::External,
            sandbox_required: false,
        }
    }
}
