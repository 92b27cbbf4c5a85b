//! Every public numerical function names its source and is checked by a file of published values.

use std::collections::BTreeSet;
use std::path::Path;

use serde_json::Value;

use crate::case::Failure;
use crate::functions;

/// What is no numerical function: names of errors.
const NOT_NUMERICAL: &[&str] = &["id"];

/// The test of one source file.
pub(crate) fn public_functions_have_a_source_and_a_published_value(
    path: &Path,
) -> datatest_stable::Result<()> {
    let text = std::fs::read_to_string(path)?;
    let Some(topic) = topic_of(path) else {
        return Ok(());
    };
    let checked = checked_functions()?;
    let mut missing = Vec::new();
    let lines: Vec<&str> = text.lines().collect();
    for (number, line) in lines.iter().enumerate() {
        let Some(name) = public_function(line) else {
            continue;
        };
        if NOT_NUMERICAL.contains(&name) {
            continue;
        }
        let full = if line.starts_with(' ') {
            format!("{topic}::{}::{name}", implementing_type(&lines[..number])?)
        } else {
            format!("{topic}::{name}")
        };
        let docs: Vec<&str> = lines[..number]
            .iter()
            .rev()
            .map(|line| line.trim())
            .take_while(|line| !line.is_empty() && *line != "}")
            .collect();
        for section in ["/// # Formula", "/// # Source"] {
            if !docs.contains(&section) {
                missing.push(format!("{full} has no `{section}`"));
            }
        }
        if functions::find(&full).is_none() {
            missing.push(format!(
                "{full} is not known to tests/published_values/functions.rs"
            ));
        } else if !checked.contains(&full) {
            missing.push(format!("{full} is checked by no file in tests/published"));
        }
    }
    if missing.is_empty() {
        Ok(())
    } else {
        Err(missing.join("\n").into())
    }
}

/// The folder below `src`; files directly in `src` hold no functions.
fn topic_of(path: &Path) -> Option<String> {
    let folder = path.parent()?.file_name()?.to_str()?;
    (folder != "src" && folder != "numerics").then(|| folder.to_owned())
}

/// Name of the public function that a line begins.
fn public_function(line: &str) -> Option<&str> {
    let rest = line.trim_start().strip_prefix("pub fn ")?;
    rest.split(['(', '<']).next()
}

/// The type of the `impl` block that the last of these lines stands in.
fn implementing_type<'a>(lines: &[&'a str]) -> Result<&'a str, Failure> {
    let begin = lines
        .iter()
        .rev()
        .find_map(|line| line.strip_prefix("impl "))
        .ok_or("no impl")?;
    begin
        .split([' ', '<'])
        .next()
        .ok_or_else(|| "an impl without a type".into())
}

/// Functions named by any file of published values.
fn checked_functions() -> Result<BTreeSet<String>, Failure> {
    let mut checked = BTreeSet::new();
    for topic in std::fs::read_dir("../../tests/published")? {
        let topic = topic?.path();
        if !topic.is_dir() {
            continue;
        }
        for file in std::fs::read_dir(topic)? {
            let path = file?.path();
            if path
                .extension()
                .is_some_and(|extension| extension == "json")
            {
                let document: Value = serde_json::from_str(&std::fs::read_to_string(path)?)?;
                let names = document["functions"].as_array().into_iter().flatten();
                checked.extend(names.filter_map(Value::as_str).map(str::to_owned));
            }
        }
    }
    Ok(checked)
}
