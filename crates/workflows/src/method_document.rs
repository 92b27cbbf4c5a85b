//! A method document: is it valid, and what looks wrong in it?

use crate::failure::{Failure, FailureClass};
use dyebook_documents::{Digest, DyeRegister, Method, Severity};
use dyebook_methods::composition::missing_bases;
use dyebook_methods::content_digest;
use dyebook_methods::lints::{Finding, lint};
use dyebook_schemas::{catalogue, check_text, parse};
use serde_json::Value;

/// A method document that can be kept.
#[derive(Debug, Clone)]
pub struct CheckedMethod {
    /// The document.
    pub document: Value,
    /// The same as the program reads it.
    pub method: Method,
    /// Content digest.
    pub digest: Digest,
    /// What looks wrong; no errors among them.
    pub findings: Vec<Finding>,
}

/// Checks a method document against its schema, then against the lints.
///
/// # Errors
/// What the schema or a lint refuses, each with its place and the cure.
pub fn check_method(name: &str, text: &str, dyes: &DyeRegister) -> Result<CheckedMethod, Failure> {
    let document = check_text(&catalogue::METHOD, text).map_err(|problems| {
        let readings = parse(text)
            .map(|value| readings_without_basis(&value))
            .unwrap_or_default();
        Failure::not_valid(name, "method", &problems).details(readings)
    })?;
    let method: Method = serde_json::from_value(document.clone()).map_err(|error| {
        Failure::new(
            FailureClass::Bug,
            "method.schema-and-type-differ",
            error.to_string(),
        )
    })?;
    let findings = lint(&method, &document, dyes);
    let errors: Vec<&Finding> = findings
        .iter()
        .filter(|f| f.severity == Severity::Stop)
        .collect();
    if errors.is_empty() {
        let digest = content_digest(&document);
        return Ok(CheckedMethod {
            document,
            method,
            digest,
            findings,
        });
    }
    let mut failure = Failure::refused(
        "method.does-not-hold",
        format!("`{name}` says something that can't be"),
    );
    for error in errors {
        let line = dyebook_schemas::line_of(text, &error.path)
            .map(|line| format!(" (line {line})"))
            .unwrap_or_default();
        let hint = with_hints(&error.hints);
        failure.details.push(format!(
            "{}   {}{line}{hint}  [{}]",
            error.path, error.message, error.lint
        ));
    }
    Err(failure)
}

/// Hints behind a sentence: `; do this; or that`.
pub fn with_hints(hints: &[String]) -> String {
    hints
        .iter()
        .flat_map(|hint| ["; ", hint.as_str()])
        .collect()
}

/// For every component whose amount has no basis: what it may mean, and how far apart that is.
fn readings_without_basis(document: &Value) -> Vec<String> {
    missing_bases(document)
        .into_iter()
        .map(|(pointer, readings)| format!("{pointer}   {}", readings.message()))
        .collect()
}
