//! Importer `sheet`: data sheets as separated text, one row a spot.
//!
//! Separator, decimal sign and encoding are found by itself and said in the answer. Texts are kept
//! as written; only a decimal comma becomes a point in the columns that hold numbers.

mod decode;
mod limits;
mod read;
mod records;
mod separator;

use dyebook_plugin::Result;
use dyebook_plugin::importer::{Confidence, Importer, Output, ProbeRequest};
use serde::Deserialize;

dyebook_plugin::plugin! {
    id: "dyebook.importer-sheet", components: { "sheet" => importer SheetText }
}

/// The manifest of this plug-in.
pub const MANIFEST: &str = include_str!("../manifest.json");

/// Has no parameters: everything is found in the file.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Config {}

/// The importer.
#[derive(Clone, Copy, Debug)]
pub struct SheetText;

impl Importer for SheetText {
    type Config = Config;

    fn new(_config: Config) -> Result<Self> {
        Ok(Self)
    }

    fn probe(&self, request: &ProbeRequest, head: &[u8]) -> Confidence {
        read::probe(request, head)
    }

    fn import(&self, _name: &str, bytes: &[u8], out: &mut Output<'_, '_>) -> Result<()> {
        read::import(bytes, out)
    }
}
