//! Finds, inspects, approves, isolates and calls plug-ins.

mod bundled;
mod channel;
mod check;
mod describe;
mod digest;
mod failure;
mod importer;
mod instance;
mod launcher;
mod limits;
mod log;
mod manifest;
mod parameters;
mod plugins;
mod provenance;
mod response;
mod settings;
mod strategy;

pub use bundled::Bundled;
pub use failure::{Failure, Look, PluginError, Stage, Versioned};
pub use importer::{ImportOutcome, ImporterHandle};
pub use limits::Limits;
pub use manifest::{Component, Isolation, Kind, Library, Manifest};
pub use parameters::{ParameterError, parameters};
pub use plugins::{PluginInfo, Plugins, State};
pub use provenance::Provenance;
pub use settings::Settings;
pub use strategy::{LaneFailure, LaneOutcome, StrategyHandle};
