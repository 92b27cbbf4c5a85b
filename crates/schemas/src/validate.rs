//! Checks a value or a text against an embedded schema.

use crate::catalogue::{self, Schema};
use crate::explain::explain;
use crate::limits::{MOST_LEVELS, too_long};
use crate::place::line_of;
use crate::problem::Problem;
use dyebook_plugin::strict_json;
use jsonschema::{Registry, Validator};
use serde_json::Value;
use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

/// Problems shown of one document; a person mends the first dozens and comes back.
const MOST_PROBLEMS: usize = 200;

/// Checks a parsed value against a schema.
///
/// # Errors
/// All that is wrong with the value, in the order of the document, without lines.
pub fn check_value(schema: &Schema, value: &Value) -> Result<(), Vec<Problem>> {
    let validator = validator(schema);
    if validator.is_valid(value) {
        return Ok(());
    }
    let mut problems: Vec<Problem> = validator
        .iter_errors(value)
        .flat_map(|error| explain(&error))
        .collect();
    problems.dedup();
    problems.truncate(MOST_PROBLEMS);
    Err(problems)
}

/// Parses a text and checks it against a schema; each problem carries its line.
///
/// # Errors
/// All that is wrong with the text: one problem when it is not JSON, else what the schema says.
pub fn check_text(schema: &Schema, text: &str) -> Result<Value, Vec<Problem>> {
    let value = parse(text).map_err(|problem| vec![problem])?;
    // A bundle holds whole files as texts.
    if schema.name != catalogue::BUNDLE.name
        && let Some(mut problem) = too_long(&value)
    {
        problem.line = line_of(text, &problem.pointer);
        return Err(vec![problem]);
    }
    check_value(schema, &value).map_err(|mut problems| {
        for problem in &mut problems {
            // What is missing has no line; the object that lacks it has.
            let parent = problem
                .pointer
                .rsplit_once('/')
                .map_or("", |(parent, _)| parent);
            problem.line = line_of(text, &problem.pointer).or_else(|| line_of(text, parent));
        }
        problems
    })?;
    Ok(value)
}

/// Parses a JSON text in which every key stands once.
///
/// # Errors
/// What stopped the reading, with its line.
pub fn parse(text: &str) -> Result<Value, Problem> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    strict_json::parse(text.as_bytes()).map_err(|error| {
        let mut problem = Problem::at("", format!("is not JSON: {}", error.what));
        problem.line = Some(error.line);
        if error.what.contains("recursion limit") {
            problem.message =
                format!("has more than {MOST_LEVELS} levels of brackets within one another");
            return problem;
        }
        if error.repeated_key {
            return problem.with_hint("keep one of the two");
        }
        problem.with_hint(format!("look at column {} of that line", error.column))
    })
}

/// Compiled schemas, each on its first use: a command that checks one document compiles one.
fn validator(schema: &Schema) -> Arc<Validator> {
    static COMPILED: LazyLock<Mutex<HashMap<&'static str, Arc<Validator>>>> =
        LazyLock::new(Mutex::default);
    let mut compiled = COMPILED.lock().unwrap_or_else(PoisonError::into_inner);
    Arc::clone(
        compiled
            .entry(schema.name)
            .or_insert_with(|| Arc::new(compile(schema))),
    )
}

#[expect(
    clippy::expect_used,
    reason = "the schemas are embedded; a test compiles every one of them"
)]
fn compile(schema: &Schema) -> Validator {
    let read = |text| serde_json::from_str(text).expect("an embedded schema is JSON");
    let mut registry = Registry::new();
    for part in with_all_it_leads_to(schema) {
        let document: Value = read(part.text);
        registry = registry
            .add(part.uri(), document)
            .expect("an embedded schema has a good id");
    }
    let registry = registry
        .prepare()
        .expect("references between embedded schemas resolve");
    let root: Value = read(schema.text);
    jsonschema::options()
        .with_base_uri(schema.uri())
        .with_registry(&registry)
        .should_validate_formats(true)
        .build(&root)
        .expect("an embedded schema compiles")
}

/// A schema, those that it refers to, those that they refer to, and so on: to read all seventy takes
/// longer than most commands.
fn with_all_it_leads_to(schema: &Schema) -> Vec<&Schema> {
    let mut found = vec![schema];
    let mut next = 0;
    while let Some(from) = found.get(next).copied() {
        next += 1;
        for other in catalogue::ALL {
            let is_new = found.iter().all(|known| known.name != other.name);
            if is_new && from.text.contains(&other.uri()) {
                found.push(other);
            }
        }
    }
    found
}
