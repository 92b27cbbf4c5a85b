//! Parameters as typed on a command line, `K=V`, turned into the JSON that a component expects.

use serde_json::{Map, Value};

/// Why parameters can't be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ParameterError {
    /// There is no `=` in it.
    #[error("`{text}` is not of the form `name=value`")]
    NoValue {
        /// As typed.
        text: String,
    },
    /// The component has no such parameter.
    #[error("there is no parameter `{name}`")]
    Unknown {
        /// As typed.
        name: String,
        /// What there is.
        known: Vec<String>,
    },
    /// It stands twice.
    #[error("the parameter `{name}` stands twice")]
    Twice {
        /// Its name.
        name: String,
    },
    /// The value does not fit.
    #[error("the parameter `{name}` {problem}")]
    Refused {
        /// Its name.
        name: String,
        /// What is wrong.
        problem: String,
    },
}

impl ParameterError {
    /// The stable code.
    pub fn id(&self) -> &'static str {
        match self {
            Self::NoValue { .. } => "parameter.no-value",
            Self::Unknown { .. } => "parameter.unknown",
            Self::Twice { .. } => "parameter.twice",
            Self::Refused { .. } => "parameter.refused",
        }
    }

    /// What to do.
    pub fn hints(&self) -> Vec<String> {
        match self {
            Self::NoValue { .. } => vec!["write `--param name=value`".into()],
            Self::Unknown { known, .. } if known.is_empty() => vec!["it has none".into()],
            Self::Unknown { known, .. } => vec![format!("it has `{}`", known.join("`, `"))],
            Self::Twice { .. } => vec!["keep one of the two".into()],
            Self::Refused { .. } => Vec::new(),
        }
    }
}

/// Turns `K=V` texts into the configuration of a component, typed by its schema and checked
/// against it. Defaults of the schema are filled in, so that what is stored says all of it.
///
/// # Errors
/// The first parameter that can't be used.
pub fn parameters(schema: &Value, given: &[String]) -> Result<Map<String, Value>, ParameterError> {
    let none = Map::new();
    let known = schema
        .get("properties")
        .and_then(Value::as_object)
        .unwrap_or(&none);
    let mut config = Map::new();
    for text in given {
        let (name, value) = text
            .split_once('=')
            .ok_or_else(|| ParameterError::NoValue { text: text.clone() })?;
        let name = name.trim();
        let Some(expected) = known.get(name) else {
            let known = known.keys().cloned().collect();
            return Err(ParameterError::Unknown {
                name: name.into(),
                known,
            });
        };
        let value = typed(value.trim(), expected);
        if config.insert(name.to_owned(), value).is_some() {
            return Err(ParameterError::Twice { name: name.into() });
        }
    }
    for (name, expected) in known {
        if let (false, Some(default)) = (config.contains_key(name), expected.get("default")) {
            config.insert(name.clone(), default.clone());
        }
    }
    let value = Value::Object(config);
    if let Err(problems) = dyebook_schemas::check_against(schema, &value) {
        let first = problems.into_iter().next();
        let (place, problem) = first.map(|p| (p.pointer, p.message)).unwrap_or_default();
        let name = place.trim_start_matches('/').to_owned();
        return Err(ParameterError::Refused { name, problem });
    }
    let Value::Object(config) = value else {
        return Ok(Map::new());
    };
    Ok(config)
}

/// The value that a text stands for where the schema names a type; else the text itself, and the
/// schema says what was expected.
fn typed(text: &str, schema: &Value) -> Value {
    let types: Vec<&str> = match schema.get("type") {
        Some(Value::String(one)) => vec![one],
        Some(Value::Array(several)) => several.iter().filter_map(Value::as_str).collect(),
        _ => Vec::new(),
    };
    if types.contains(&"string") {
        return Value::from(text);
    }
    let whole = text.parse::<i64>().ok().map(Value::from);
    let number = text
        .parse::<f64>()
        .ok()
        .filter(|number| number.is_finite())
        .map(Value::from);
    let read = match types.as_slice() {
        ["integer"] => whole,
        ["number"] => whole.or(number),
        ["boolean"] => text.parse::<bool>().ok().map(Value::from),
        _ => serde_json::from_str(text).ok(),
    };
    read.unwrap_or_else(|| Value::from(text))
}

#[cfg(test)]
mod tests {
    use super::{ParameterError, parameters};
    use serde_json::{Value, json};

    fn schema() -> Value {
        json!({ "type": "object", "additionalProperties": false, "properties": {
            "k": { "type": "number", "minimum": 0, "default": 2 },
            "sheet": { "type": "string" },
            "strict": { "type": "boolean" } } })
    }

    fn read(given: &[&str]) -> Result<Value, ParameterError> {
        let given: Vec<String> = given.iter().map(|&text| text.into()).collect();
        parameters(&schema(), &given).map(Value::Object)
    }

    #[test]
    fn values_get_the_types_of_the_schema_and_defaults_are_filled_in() {
        assert_eq!(read(&[]).unwrap(), json!({ "k": 2 }));
        assert_eq!(
            read(&["k=1.5", "sheet=2026", "strict=true"]).unwrap(),
            json!({ "k": 1.5, "sheet": "2026", "strict": true })
        );
    }

    #[test]
    fn what_does_not_fit_is_refused_by_name() {
        assert_eq!(read(&["k"]).unwrap_err().id(), "parameter.no-value");
        assert_eq!(read(&["q=1"]).unwrap_err().id(), "parameter.unknown");
        assert_eq!(read(&["k=1", "k=2"]).unwrap_err().id(), "parameter.twice");
        let Err(ParameterError::Refused { name, .. }) = read(&["k=-1"]) else {
            panic!("below the minimum")
        };
        assert_eq!(name, "k");
        assert_eq!(read(&["k=two"]).unwrap_err().id(), "parameter.refused");
    }
}
