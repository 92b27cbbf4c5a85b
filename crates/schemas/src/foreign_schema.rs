//! Checks a value against a schema that somebody else wrote, such as a plug-in's for its parameters.

use serde_json::Value;

use crate::explain::explain;
use crate::problem::Problem;

/// Checks a value against a schema that is not one of ours. References to other documents are not
/// followed: nothing is ever fetched.
///
/// # Errors
/// All that is wrong with the value; or one problem at `/config_schema` when the schema itself is
/// none.
pub fn check_against(schema: &Value, value: &Value) -> Result<(), Vec<Problem>> {
    let validator = jsonschema::options().build(schema).map_err(|error| {
        vec![Problem::at(
            "/config_schema",
            format!("is not a schema: {error}"),
        )]
    })?;
    if validator.is_valid(value) {
        return Ok(());
    }
    Err(validator
        .iter_errors(value)
        .flat_map(|error| explain(&error))
        .collect())
}
