//! Liquids and numbers against `tests/published/chemistry`. Dyes, names and CAS numbers are in
//! `dyes.rs`; recipes, dilutions and mass balances are compared in `crates/methods`; planar
//! quantities in `tests/published_values.rs`.

mod compositions;
mod correction;
mod densities;
mod files;
mod rounding;

use crate::project;
use serde_json::Value;

/// One check of a file: its rows as maps from column to value.
#[derive(Debug)]
struct Check {
    id: String,
    rows: Vec<serde_json::Map<String, Value>>,
    whole: Value,
}

fn checks(file: &str) -> Vec<Check> {
    let file = project::json(&format!("tests/published/chemistry/{file}.json"));
    let checks = file["checks"].as_array().unwrap().iter();
    checks
        .map(|check| Check {
            id: check["id"].as_str().unwrap().to_owned(),
            rows: rows(check),
            whole: check.clone(),
        })
        .collect()
}

fn check(file: &str, id: &str) -> Check {
    checks(file)
        .into_iter()
        .find(|check| check.id == id)
        .unwrap()
}

fn rows(table: &Value) -> Vec<serde_json::Map<String, Value>> {
    let columns = table["columns"].as_array().cloned().unwrap_or_default();
    let rows = table["rows"].as_array().cloned().unwrap_or_default();
    let names = columns
        .iter()
        .map(|column| column.as_str().unwrap().to_owned());
    let names: Vec<String> = names.collect();
    rows.iter()
        .map(|row| {
            names
                .iter()
                .cloned()
                .zip(row.as_array().unwrap().iter().cloned())
                .collect()
        })
        .collect()
}

fn number(row: &serde_json::Map<String, Value>, column: &str) -> f64 {
    row[column]
        .as_f64()
        .unwrap_or_else(|| panic!("{column} of {row:?}"))
}

fn text<'a>(row: &'a serde_json::Map<String, Value>, column: &str) -> &'a str {
    row[column]
        .as_str()
        .unwrap_or_else(|| panic!("{column} of {row:?}"))
}

#[track_caller]
fn close(got: f64, expected: f64, allowed: f64) {
    assert!(
        (got - expected).abs() <= allowed,
        "{got} against {expected} ± {allowed}"
    );
}
