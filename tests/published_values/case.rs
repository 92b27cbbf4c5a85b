//! Reads one file of published values and runs its cases.

use std::path::Path;

use serde_json::{Map, Value};

use crate::{compare, functions};

pub(crate) type Failure = Box<dyn std::error::Error>;

/// The inputs of one case.
pub(crate) struct Inputs<'a>(&'a Map<String, Value>);

impl Inputs<'_> {
    pub(crate) fn get(&self, key: &str) -> Result<&Value, Failure> {
        self.0
            .get(key)
            .ok_or_else(|| format!("no input `{key}`").into())
    }

    pub(crate) fn has(&self, key: &str) -> bool {
        self.0.contains_key(key)
    }

    pub(crate) fn number(&self, key: &str) -> Result<f64, Failure> {
        number(self.get(key)?)
    }

    pub(crate) fn count(&self, key: &str) -> Result<usize, Failure> {
        let count = self
            .get(key)?
            .as_u64()
            .ok_or_else(|| format!("`{key}` is no count"))?;
        Ok(usize::try_from(count)?)
    }

    pub(crate) fn text(&self, key: &str) -> Result<&str, Failure> {
        self.get(key)?
            .as_str()
            .ok_or_else(|| format!("`{key}` is no text").into())
    }

    /// A series, written out or by the rule `first, then two alternating values`.
    pub(crate) fn series(&self, key: &str) -> Result<Vec<f64>, Failure> {
        match self.0.get(&format!("{key}_rule")) {
            Some(rule) => by_rule(rule),
            None => numbers(self.get(key)?),
        }
    }

    /// Several series, written out or by rule.
    pub(crate) fn table(&self, key: &str) -> Result<Vec<Vec<f64>>, Failure> {
        match self.0.get(&format!("{key}_rule")) {
            Some(rules) => array(rules)?.iter().map(by_rule).collect(),
            None => array(self.get(key)?)?.iter().map(numbers).collect(),
        }
    }

    pub(crate) fn tables(&self, key: &str) -> Result<Vec<Vec<Vec<f64>>>, Failure> {
        let rows = |value: &Value| array(value)?.iter().map(numbers).collect();
        array(self.get(key)?)?.iter().map(rows).collect()
    }
}

pub(crate) fn array(value: &Value) -> Result<&Vec<Value>, Failure> {
    value
        .as_array()
        .ok_or_else(|| "no list where one is meant".into())
}

pub(crate) fn number(value: &Value) -> Result<f64, Failure> {
    // null stands for infinity, which JSON can't hold (degrees of freedom of a known quantity)
    match value {
        Value::Null => Ok(f64::INFINITY),
        _ => value
            .as_f64()
            .ok_or_else(|| format!("{value} is no number").into()),
    }
}

pub(crate) fn numbers(value: &Value) -> Result<Vec<f64>, Failure> {
    array(value)?.iter().map(number).collect()
}

fn by_rule(rule: &Value) -> Result<Vec<f64>, Failure> {
    let pairs = rule["pairs"].as_u64().ok_or("a rule needs `pairs`")?;
    let alternating = numbers(&rule["then_alternating"])?;
    let mut series = vec![number(&rule["first"])?];
    for _ in 0..pairs {
        series.extend_from_slice(&alternating);
    }
    Ok(series)
}

/// What a case checks: its function's name, inputs, expected outputs and tolerances.
struct Case {
    id: String,
    function: String,
    inputs: Map<String, Value>,
    expected: Map<String, Value>,
    tolerances: compare::Tolerances,
}

/// The test of one file.
pub(crate) fn values_are_reproduced(path: &Path) -> datatest_stable::Result<()> {
    let document: Value = serde_json::from_str(&std::fs::read_to_string(path)?)?;
    let listed: Vec<&str> = array(&document["functions"])?
        .iter()
        .filter_map(Value::as_str)
        .collect();
    for name in &listed {
        functions::find(name).ok_or_else(|| format!("unknown function name `{name}`"))?;
    }
    let first = *listed.first().ok_or("the file names no function")?;
    if document["source"]
        .as_str()
        .is_none_or(|source| source.len() < 10)
    {
        return Err("the file names no source".into());
    }
    let mut failures = Vec::new();
    let mut compared = 0;
    for case in cases(&document, first)? {
        let run = functions::find(&case.function)
            .ok_or_else(|| format!("unknown function name `{}`", case.function))?;
        let got = match run(&Inputs(&case.inputs)) {
            Ok(outputs) => outputs,
            Err(error) => serde_json::json!({ "error": functions::error_id(error.as_ref()) }),
        };
        for (key, expected) in &case.expected {
            compared += 1;
            let tolerance = case.tolerances.of(key);
            if let Err(why) = compare::close(&got[key], expected, tolerance) {
                failures.push(format!("{} · {key}: {why}", case.id));
            }
        }
    }
    if compared == 0 {
        return Err("the file checks nothing".into());
    }
    if failures.is_empty() {
        Ok(())
    } else {
        Err(failures.join("\n").into())
    }
}

/// The cases of a file; a case with columns and rows is one case a row.
fn cases(document: &Value, first: &str) -> Result<Vec<Case>, Failure> {
    let mut cases = Vec::new();
    for case in array(&document["cases"])? {
        let id = case["id"].as_str().ok_or("a case needs an `id`")?;
        let function = case["function"].as_str().unwrap_or(first).to_owned();
        let tolerances = compare::Tolerances::read(case)?;
        let Some(rows) = case.get("rows") else {
            let object = |key: &str| {
                case[key]
                    .as_object()
                    .cloned()
                    .ok_or_else(|| format!("{id} has no `{key}`"))
            };
            let (inputs, expected) = (object("inputs")?, object("expected")?);
            cases.push(Case {
                id: id.to_owned(),
                function,
                inputs,
                expected,
                tolerances,
            });
            continue;
        };
        let names = |key: &str| -> Result<Vec<String>, Failure> {
            let names = array(&case[key])?.iter().filter_map(Value::as_str);
            Ok(names.map(str::to_owned).collect())
        };
        let (inputs, outputs) = (names("input_columns")?, names("expected_columns")?);
        for (number, row) in array(rows)?.iter().enumerate() {
            let row = array(row)?;
            if row.len() != inputs.len() + outputs.len() {
                return Err(format!("{id}, row {number}: {} entries", row.len()).into());
            }
            let (left, right) = row.split_at(inputs.len());
            let object = |names: &[String], values: &[Value]| {
                names.iter().cloned().zip(values.iter().cloned()).collect()
            };
            cases.push(Case {
                id: format!("{id}, row {number} {row:?}"),
                function: function.clone(),
                inputs: object(&inputs, left),
                expected: object(&outputs, right),
                tolerances: tolerances.clone(),
            });
        }
    }
    Ok(cases)
}
