//! What the author of a dyebook plug-in uses: traits, messages and two macros.

mod context;
mod error;
mod macros;
mod sink;

#[doc(hidden)]
pub mod component;
#[doc(hidden)]
pub mod shim;

pub mod importer;
pub mod strategy;

pub use context::{Context, Level};
pub use dyebook_plugin_abi as abi;
pub use error::{Error, Result};
#[doc(hidden)]
pub use macros::describe;

pub(crate) use shim::panic_text;
