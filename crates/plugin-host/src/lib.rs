//! Finds, inspects, approves, isolates and calls plug-ins.
//!
//! ```text
//! folder ── discovery ── external (what was approved?) ─┐
//!                                                        ├─ launcher ── channel ── strategy, importer
//! linked-in table ── bundled ────────────────────────────┘               │
//!                                                        in process, or process ══ socket ══ worker
//! ```
//!
//! - Nothing is loaded to be listed: a manifest says what a plug-in is ([`Manifest`]), and [`inspect`]
//!   reads the library's file without running it.
//! - External libraries are only ever loaded in a child of the same program ([`worker`]): by the
//!   bytes whose digest a person approved ([`approve`]), copied to sealed memory, under limits and in
//!   a sandbox, and never unloaded: the process is the unloading.
//! - Bundled plug-ins go through the same table and the same checks, in process.
//! - Whatever comes back is looked at before it is believed: size, encoding, JSON, schema, meaning.
//! - A fault costs a lane: a batch that fails is asked again lane by lane, the guilty one has the
//!   failure for an answer, and after three faults in a row the plug-in is left alone for this run.
//!
//! [`Plugins`] is the way in; [`StrategyHandle`] and [`ImporterHandle`] are what it gives. This crate reads
//! no environment and no clock of the calendar: [`Settings`] says where to look.
//!
//! External plug-ins need Linux with the GNU C library on x86-64 or 64-bit ARM ([`TARGET`]).

#[cfg(not(target_os = "linux"))]
compile_error!(
    "the plug-in host is written for Linux; on other systems dyebook can't be built yet"
);

mod approvals;
mod approve;
mod bundled;
mod channel;
mod check;
mod describe;
mod digest;
mod discovery;
mod external;
mod failure;
mod folder;
mod frame;
mod greeting;
mod importer;
mod inspect;
mod instance;
pub mod kit;
mod launcher;
mod limits;
mod log;
mod manifest;
mod parameters;
mod plugins;
mod process;
mod provenance;
mod response;
mod seal;
mod settings;
mod strategy;
mod target;
pub mod worker;

pub use approvals::{Approval, ApprovalError, ApprovalFiles};
pub use approve::{ApproveError, Approved, Approver, Revoked, approve, revoke};
pub use bundled::Bundled;
pub use failure::{Failure, Look, PluginError, Stage, Versioned};
pub use importer::{ImportOutcome, ImporterHandle};
pub use inspect::{Finding, Grade, Inspection, inspect};
pub use limits::Limits;
pub use manifest::{Component, Isolation, Kind, Library, Manifest};
pub use parameters::{ParameterError, parameters};
pub use plugins::{ComponentInfo, PluginInfo, Plugins, State};
pub use process::WorkerProgram;
pub use provenance::Provenance;
pub use seal::{SealError, Sealed, seal};
pub use settings::{Isolate, Settings};
pub use strategy::{LaneFailure, LaneOutcome, StrategyHandle};
pub use target::TARGET;
