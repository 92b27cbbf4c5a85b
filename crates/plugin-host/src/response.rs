//! From the bytes of an answer to a value that fits its schema.

use dyebook_schemas::Schema;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use crate::failure::{Failure, Look};

/// Problems of an answer that are named; the author sees them all in the conformance kit.
const MOST_NAMED: usize = 3;

/// Looks at an answer: encoding, JSON (at most 128 deep, which the parser guards), schema. The type
/// is made from the very value that was looked at.
pub(crate) fn read<T: DeserializeOwned>(bytes: &[u8], schema: &Schema) -> Result<T, Failure> {
    let bad = |part: Look, text: String| Failure::BadOutput { part, text };
    let text = std::str::from_utf8(bytes).map_err(|error| bad(Look::Utf8, error.to_string()))?;
    let value: Value =
        serde_json::from_str(text).map_err(|error| bad(Look::Json, error.to_string()))?;
    if let Err(problems) = dyebook_schemas::check_value(schema, &value) {
        let named: Vec<String> = problems
            .iter()
            .take(MOST_NAMED)
            .map(ToString::to_string)
            .collect();
        return Err(bad(Look::Schema, named.join("; ")));
    }
    serde_json::from_value(value).map_err(|error| bad(Look::Schema, error.to_string()))
}

/// A request as bytes. What does not fit its schema is the host's own fault: every build with
/// assertions, and so every test, looks; a released program doesn't look at what its own types say.
pub(crate) fn request<T: Serialize>(message: &T, schema: &Schema) -> Result<Vec<u8>, Failure> {
    let ours = |text: String| Failure::Protocol {
        text: format!("the request is not valid: {text}"),
    };
    if cfg!(debug_assertions) {
        let value = serde_json::to_value(message).map_err(|error| ours(error.to_string()))?;
        if let Err(problems) = dyebook_schemas::check_value(schema, &value) {
            let first = problems.first().map(ToString::to_string);
            return Err(ours(first.unwrap_or_default()));
        }
    }
    serde_json::to_vec(message).map_err(|error| ours(error.to_string()))
}
