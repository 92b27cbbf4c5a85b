//! `library init`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_workflows::{Failure, make_library};
use serde_json::json;

/// Make a reference library.
pub(crate) fn run(desk: &Desk) -> Result<Outcome, Failure> {
    let library = make_library(&desk.library, &desk.stamp())?;
    let methods = library.methods(None)?;
    let dyes = library.dyes()?.len();
    let mut page = Page::default();
    page.line(format!("made {} with {dyes} dyes", desk.library.display()));
    for method in &methods {
        page.line(format!(
            "  {} ({}, an invented example)",
            method.name(),
            method.state
        ));
    }
    page.gap();
    page.line("next: dyebook method add FILE, then dyebook method approve REF --reason \"…\"");
    let listed: Vec<_> = methods
        .iter()
        .map(|m| json!({ "id": m.id, "version": m.version, "state": m.state }))
        .collect();
    Ok(Outcome::new(
        json!({
            "library": desk.library,
            "format": library.info().schema_version,
            "dyes": dyes,
            "methods": listed,
        }),
        page.text(),
    ))
}
