//! Importer `json`: the sheet document itself, `schemas/sheet.schema.json`.
//!
//! The document holds lanes with rows; here they become the same flat rows that the other importers
//! give, so that everything after the importer is one way.

mod places;
mod rows;

use dyebook_plugin::importer::{Confidence, Importer, Output, ProbeRequest, Problem, Reading};
use dyebook_plugin::{Result, strict_json};
use serde::Deserialize;
use std::borrow::Cow;

dyebook_plugin::plugin! {
    id: "dyebook.importer-json", components: { "json" => importer SheetDocument }
}

/// The manifest of this plug-in.
pub const MANIFEST: &str = include_str!("../manifest.json");

/// Has no parameters.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Config {}

/// The importer.
#[derive(Clone, Copy, Debug)]
pub struct SheetDocument;

impl Importer for SheetDocument {
    type Config = Config;

    fn new(_config: Config) -> Result<Self> {
        Ok(Self)
    }

    fn probe(&self, _request: &ProbeRequest, head: &[u8]) -> Confidence {
        // The head may end in the middle of a character; what matters stands before that.
        let text = std::str::from_utf8(head);
        let text = text.map_or_else(|_| String::from_utf8_lossy(head), Cow::Borrowed);
        let text = text.trim_start_matches('\u{feff}').trim_start();
        if !text.starts_with('{') {
            return Confidence::new(0.0, "does not begin like a JSON object");
        }
        let keys = ["\"lanes\"", "\"units\"", "\"group\"", "\"method\""];
        let found = keys.iter().filter(|key| text.contains(*key)).count();
        let confidence = [0.2, 0.3, 0.6, 0.8, 0.95]
            .get(found)
            .copied()
            .unwrap_or(0.2);
        Confidence::new(
            confidence,
            format!("a JSON object that names {found} keys of a sheet"),
        )
    }

    fn import(&self, _name: &str, bytes: &[u8], out: &mut Output<'_, '_>) -> Result<()> {
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let decimals = match strict_json::parse(bytes) {
            Ok(document) => rows::read(&document, out)?,
            Err(error) => {
                out.problem(not_read(&error));
                return Ok(());
            }
        };
        out.reading(Reading {
            separator: None,
            decimal: decimals.sign().map(Into::into),
            encoding: Some("UTF-8".into()),
        });
        Ok(())
    }
}

/// Why the text is no sheet document, by its line.
fn not_read(error: &strict_json::NotStrict) -> Problem {
    let (line, column) = (error.line, error.column);
    let problem = if error.repeated_key {
        Problem::new(format!(
            "{}, so one of its two values would be lost",
            error.what
        ))
        .hint("keep the one that is meant and take the other out")
    } else {
        Problem::new(format!(
            "the file is not JSON: {} at line {line} column {column}",
            error.what
        ))
    };
    if line > 0 {
        problem.in_row(line as u64)
    } else {
        problem
    }
}
