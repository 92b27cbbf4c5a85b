//! `method list`

use crate::desk::Desk;
use crate::outcome::Outcome;
use crate::table::Table;
use dyebook_workflows::Failure;
use serde_json::json;

/// All method versions.
pub(crate) fn run(desk: &Desk) -> Result<Outcome, Failure> {
    let mut table = Table::new(["method", "state", "dyes", "content", "title"]);
    let mut listed = Vec::new();
    for kept in desk.open()?.methods(None)? {
        let method = kept.method()?;
        table.row([
            kept.name(),
            kept.state.to_string(),
            method.references.len().to_string(),
            kept.digest.short().to_owned(),
            method.title.clone(),
        ]);
        listed.push(json!({
            "id": kept.id, "version": kept.version, "title": method.title,
            "state": kept.state, "digest": kept.digest, "origin": kept.origin.word(),
            "references": method.references.len(),
            "effective_from": method.effective_from, "effective_to": method.effective_to,
        }));
    }
    let text = if table.is_empty() {
        "no methods yet; add one with `dyebook method add FILE`\n".to_owned()
    } else {
        table.to_string()
    };
    Ok(Outcome::new(json!({ "methods": listed }), text))
}
