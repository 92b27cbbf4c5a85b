//! From a method reference to the method version it means.

use crate::failure::Failure;
use dyebook_documents::{MethodReference, MethodState, WantedVersion};
use dyebook_library::{KeptMethod, Library, LibraryError};

/// The method version that a reference means.
///
/// An exact version means that one in whatever state. A requirement means the newest approved
/// version that fits; where none is approved any more, the newest superseded one, since sections
/// that still run an earlier solvent hand in sheets after the change.
///
/// # Errors
/// An unknown method or version, or a requirement that nothing in use fits, with what there is.
pub fn resolve_method(library: &Library, text: &str) -> Result<KeptMethod, Failure> {
    resolve_among(text, &|id| library.methods(id))
}

/// Where method versions are looked up: those of an id, or all.
pub(crate) type Versions<'a> = &'a dyn Fn(Option<&str>) -> Result<Vec<KeptMethod>, LibraryError>;

/// The same, as whoever looks them up sees them.
pub(crate) fn resolve_among(text: &str, methods: Versions<'_>) -> Result<KeptMethod, Failure> {
    let reference: MethodReference = text.parse().map_err(|error| {
        Failure::refused("method.bad-reference", format!("{error}"))
            .hint("e.g. `saline-paper@1.0.0` or `saline-paper@^1.2`")
    })?;
    let versions = methods(Some(&reference.id))?;
    if versions.is_empty() {
        return Err(unknown_method(methods, &reference.id)?);
    }
    let found = match &reference.wanted {
        WantedVersion::Exact(version) => versions.iter().find(|m| m.version == *version),
        WantedVersion::Fitting(requirement) => {
            let newest = |state| {
                versions
                    .iter()
                    .rev()
                    .find(|m| m.state == state && requirement.matches(&m.version))
            };
            newest(MethodState::Approved).or_else(|| newest(MethodState::Superseded))
        }
    };
    found
        .cloned()
        .ok_or_else(|| no_such_version(&reference, &versions))
}

fn unknown_method(methods: Versions<'_>, id: &str) -> Result<Failure, Failure> {
    let mut ids: Vec<String> = methods(None)?.into_iter().map(|m| m.id).collect();
    ids.dedup();
    let failure = Failure::refused(
        "method.unknown",
        format!("the reference library holds no method `{id}`"),
    );
    Ok(if ids.is_empty() {
        failure.hint("add one with `dyebook method add FILE`")
    } else {
        failure.detail(format!("it holds  {}", ids.join(", ")))
    })
}

fn no_such_version(reference: &MethodReference, versions: &[KeptMethod]) -> Failure {
    let there: Vec<String> = versions
        .iter()
        .map(|m| format!("{} ({})", m.version, m.state))
        .collect();
    let (id, message) = match reference.wanted {
        WantedVersion::Exact(_) => (
            "method.unknown-version",
            format!("there is no version `{reference}`"),
        ),
        WantedVersion::Fitting(_) => (
            "method.nothing-approved",
            format!(
                "no approved version of `{}` fits `{reference}`",
                reference.id
            ),
        ),
    };
    let failure = Failure::refused(id, message).detail(format!("there are  {}", there.join(", ")));
    match versions
        .iter()
        .rev()
        .find(|m| m.state == MethodState::Draft)
    {
        Some(draft) => failure.hint(format!(
            "dyebook method approve {} --reason \"…\"",
            draft.name()
        )),
        None => failure,
    }
}
