//! Names of functions, and how to call each on the inputs of a case.

use serde_json::Value;

use crate::case::{Failure, Inputs};
use crate::{accuracy, judgement, lines, pairs, papers, spread};

pub(crate) type Run = fn(&Inputs<'_>) -> Result<Value, Failure>;

/// The function of a name, as `topic::function` or `topic::Type::method`.
pub(crate) fn find(name: &str) -> Option<Run> {
    [
        accuracy::FUNCTIONS,
        judgement::FUNCTIONS,
        lines::FUNCTIONS,
        pairs::FUNCTIONS,
        papers::FUNCTIONS,
        spread::FUNCTIONS,
    ]
    .into_iter()
    .flatten()
    .find(|(known, _)| *known == name)
    .map(|(_, run)| *run)
}

/// The unchanging name of an error, or what it says.
pub(crate) fn error_id(error: &(dyn std::error::Error + 'static)) -> String {
    use dyebook_statistics::planar::{CorrectionError, PlanarError};
    if let Some(error) = error.downcast_ref::<CorrectionError>() {
        return error.id().to_owned();
    }
    if let Some(error) = error.downcast_ref::<PlanarError>() {
        return error.id().to_owned();
    }
    error.to_string()
}
