//! Importer `workbook`: data sheets in a spreadsheet's workbook (XLSX).
//!
//! A spreadsheet changes what is typed into it: trailing zeros go, and "3.4" may have become the
//! third of April. The first is said, the second refused by name; nothing is guessed back.

mod cells;
mod read;

use dyebook_plugin::Result;
use dyebook_plugin::importer::{Confidence, Importer, Output, ProbeRequest};
use serde::Deserialize;

dyebook_plugin::plugin! {
    id: "dyebook.importer-workbook", components: { "workbook" => importer Workbook }
}

/// The manifest of this plug-in.
pub const MANIFEST: &str = include_str!("../manifest.json");

/// Parameters.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Config {
    /// The sheet to read; the first one when absent.
    pub sheet: Option<String>,
}

/// The importer.
#[derive(Clone, Debug)]
pub struct Workbook {
    config: Config,
}

impl Importer for Workbook {
    type Config = Config;

    fn new(config: Config) -> Result<Self> {
        Ok(Self { config })
    }

    fn probe(&self, request: &ProbeRequest, head: &[u8]) -> Confidence {
        if !head.starts_with(b"PK\x03\x04") {
            return Confidence::new(0.0, "no workbook: it does not begin like a ZIP archive");
        }
        let holds = |part: &[u8]| head.windows(part.len()).any(|bytes| bytes == part);
        // A workbook's parts are named in the clear; which one comes first is up to its writer.
        if holds(b"[Content_Types].xml") || holds(b"xl/") {
            return Confidence::new(0.9, "an archive with the parts of a workbook");
        }
        let named = request.name.to_lowercase().ends_with(".xlsx");
        Confidence::new(if named { 0.6 } else { 0.2 }, "a ZIP archive")
    }

    fn import(&self, _name: &str, bytes: &[u8], out: &mut Output<'_, '_>) -> Result<()> {
        read::import(bytes, self.config.sheet.as_deref(), out)
    }
}
