//! Is what we got what the source says, within its tolerance?

use std::collections::BTreeMap;

use serde_json::Value;

use crate::case::Failure;

/// How far a number may be off.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Tolerance {
    abs: f64,
    rel: f64,
}

impl Tolerance {
    fn read(value: &Value) -> Self {
        let part = |key: &str| value[key].as_f64().unwrap_or(0.0);
        Self {
            abs: part("abs"),
            rel: part("rel"),
        }
    }
}

/// The tolerance of a case, and those of single outputs.
#[derive(Debug, Clone)]
pub(crate) struct Tolerances {
    usual: Tolerance,
    by_key: BTreeMap<String, Tolerance>,
}

impl Tolerances {
    pub(crate) fn read(case: &Value) -> Result<Self, Failure> {
        if !case["tolerance"].is_object() {
            return Err(format!("{} has no tolerance", case["id"]).into());
        }
        let by_key = case["key_tolerance"].as_object().into_iter().flatten();
        Ok(Self {
            usual: Tolerance::read(&case["tolerance"]),
            by_key: by_key
                .map(|(key, value)| (key.clone(), Tolerance::read(value)))
                .collect(),
        })
    }

    pub(crate) fn of(&self, key: &str) -> Tolerance {
        self.by_key.get(key).copied().unwrap_or(self.usual)
    }
}

/// Numbers within the tolerance, everything else equal, lists entry by entry.
pub(crate) fn close(got: &Value, expected: &Value, tolerance: Tolerance) -> Result<(), String> {
    match (got, expected) {
        (Value::Array(left), Value::Array(right)) if left.len() == right.len() => left
            .iter()
            .zip(right)
            .enumerate()
            .try_for_each(|(k, (got, expected))| {
                close(got, expected, tolerance).map_err(|why| format!("[{k}] {why}"))
            }),
        (Value::Number(left), Value::Number(right)) => {
            let (left, right) = (left.as_f64().unwrap_or(f64::NAN), right.as_f64());
            let right = right.unwrap_or(f64::NAN);
            let allowed = tolerance.abs + tolerance.rel * right.abs();
            if (left - right).abs() <= allowed {
                Ok(())
            } else {
                let off = (left - right).abs();
                Err(format!(
                    "got {left:?}, expected {right:?}, off by {off:.3e} > {allowed:.3e}"
                ))
            }
        }
        _ if got == expected => Ok(()),
        _ => Err(format!("got {got}, expected {expected}")),
    }
}
