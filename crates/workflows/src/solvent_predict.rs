//! Expected Rf at a composition that nobody has run yet.

use crate::failure::Failure;
use crate::files::read_text;
use crate::solvent_words::refused_by;
use dyebook_documents::{Composition, Method, MethodState};
use dyebook_library::{KeptMethod, Library};
use dyebook_methods::solvents::{PredictError, Prediction, predict_solvent, with_amount};
use dyebook_schemas::{catalogue, check_text};
use std::path::Path;

impl From<PredictError> for Failure {
    fn from(error: PredictError) -> Self {
        refused_by(error.id(), &error, error.hints())
    }
}

/// Predicts Rf from the measured versions of one or more methods.
///
/// `composition` is a file that holds a composition, or amounts such as
/// `sodium chloride = 2 % w/v` which change the newest version that is in use. Drafts and withdrawn
/// versions count for nothing here.
///
/// # Errors
/// An unknown method, one without measured versions, and what the prediction refuses.
pub fn predict_kept_solvent(
    library: &Library,
    ids: &[String],
    composition: &[String],
) -> Result<Prediction, Failure> {
    let mut measured = Vec::new();
    for id in ids {
        measured.extend(measured_versions(library, id)?);
    }
    let methods: Vec<Method> = measured
        .iter()
        .map(KeptMethod::method)
        .collect::<Result<_, _>>()?;
    let at = asked_composition(&methods, composition)?;
    let all: Vec<&Method> = methods.iter().collect();
    Ok(predict_solvent(&all, &at)?)
}

/// Approved and superseded versions, the newest first.
fn measured_versions(library: &Library, id: &str) -> Result<Vec<KeptMethod>, Failure> {
    let versions = library.methods(Some(id))?;
    if versions.is_empty() {
        return Err(Failure::refused(
            "method.unknown",
            format!("the reference library holds no method `{id}`"),
        )
        .hint("`dyebook method list` shows what is there"));
    }
    let in_use =
        |kept: &KeptMethod| matches!(kept.state, MethodState::Approved | MethodState::Superseded);
    let measured: Vec<KeptMethod> = versions.into_iter().rev().filter(in_use).collect();
    if measured.is_empty() {
        return Err(Failure::refused(
            "predict.nothing-measured",
            format!("no version of `{id}` was ever approved, so nothing counts as measured"),
        )
        .hint(format!("dyebook method history {id}")));
    }
    Ok(measured)
}

fn asked_composition(measured: &[Method], asked: &[String]) -> Result<Composition, Failure> {
    if let [file] = asked
        && !file.contains('=')
    {
        let path = Path::new(file);
        if !path.exists() {
            return Err(Failure::refused(
                "predict.no-composition",
                format!("`{file}` is neither a file nor an amount"),
            )
            .hint("write an amount with `=`, such as `sodium chloride = 2 % w/v`")
            .hint("or name a file that holds a composition"));
        }
        return composition_file(path);
    }
    let mut composition = measured
        .first()
        .map(|newest| newest.developer.clone())
        .ok_or_else(|| Failure::refused("method.unknown", "no method is named"))?;
    for amount in asked {
        composition = with_amount(&composition, amount)?;
    }
    Ok(composition)
}

/// A composition, or the composition of a method document.
fn composition_file(path: &Path) -> Result<Composition, Failure> {
    let text = read_text(path)?;
    let name = path.display().to_string();
    let document = check_text(&catalogue::COMPOSITION, &text)
        .map_err(|problems| Failure::not_valid(&name, "composition", &problems))?;
    serde_json::from_value(document).map_err(|error| {
        Failure::new(
            crate::FailureClass::Bug,
            "composition.schema-and-type-differ",
            error.to_string(),
        )
    })
}
