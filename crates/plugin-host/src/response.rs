//! From the bytes of an answer to a value that fits its schema.

use dyebook_plugin::binary;
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

/// A request as bytes.
pub(crate) fn request<T: Serialize>(message: &T, schema: &Schema) -> Result<Vec<u8>, Failure> {
    look_at(message, schema)?;
    serde_json::to_vec(message).map_err(|error| ours(&error.to_string()))
}

/// A request as bytes in the binary form.
pub(crate) fn binary_request<T: Serialize>(
    message: &T,
    schema: &Schema,
) -> Result<Vec<u8>, Failure> {
    look_at(message, schema)?;
    binary::write(message).map_err(|error| ours(&error))
}

/// Holds a request against its schema. What does not fit is the host's own fault: every build with
/// assertions, and so every test, looks; a released program doesn't look at what its own types say.
fn look_at<T: Serialize>(message: &T, schema: &Schema) -> Result<(), Failure> {
    if cfg!(debug_assertions) {
        let value = serde_json::to_value(message).map_err(|error| ours(&error.to_string()))?;
        if let Err(problems) = dyebook_schemas::check_value(schema, &value) {
            let first = problems.first().map(ToString::to_string);
            return Err(ours(&first.unwrap_or_default()));
        }
    }
    Ok(())
}

fn ours(text: &str) -> Failure {
    Failure::Protocol {
        text: format!("the request is not valid: {text}"),
    }
}
