//! What the author of an importer uses.

mod adapter;
mod messages;
mod output;
mod pieces;
pub mod table;

pub use adapter::ImporterComponent;
pub use messages::{
    Column, Confidence, ImportRequest, Imported, ProbeRequest, Problem, Reading, Refusal, Remark,
    Row, Unit, Units, Warning,
};
pub use output::Output;

use serde::de::DeserializeOwned;

use crate::component::Call;
use crate::{Error, Result};

/// Reads a file without a host, for the tests of an importer.
///
/// # Errors
/// What the importer reports; for a refused file, the text holds a [`Refusal`].
pub fn read_without_host<I: Importer>(importer: &I, name: &str, bytes: &[u8]) -> Result<Imported> {
    let mut call = Call::without_host();
    let mut output = Output::new(&mut call);
    importer.import(name, bytes, &mut output)?;
    output.finish()?;
    serde_json::from_slice(call.written()).map_err(|error| Error::internal(error.to_string()))
}

/// A file format that data sheets come in.
pub trait Importer: Sized + Send {
    /// The parameters, with their defaults. `#[serde(default, deny_unknown_fields)]` is a good idea.
    type Config: DeserializeOwned + Default;

    /// An importer with these parameters.
    ///
    /// # Errors
    /// When they make no sense.
    fn new(config: Self::Config) -> Result<Self>;

    /// Is this file one of yours? `head` is its beginning, at most 64 KiB.
    fn probe(&self, request: &ProbeRequest, head: &[u8]) -> Confidence;

    /// Reads a whole file into `out`: rows, how it was read, and problems.
    ///
    /// Report every [`Problem`] and go on: a file with any problem is refused whole, and the person
    /// wants to see all of them at once.
    ///
    /// # Errors
    /// When the file can't be used and no problem says why.
    fn import(&self, name: &str, bytes: &[u8], out: &mut Output<'_, '_>) -> Result<()>;
}
