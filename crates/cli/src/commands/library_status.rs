//! `library status`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_documents::MethodState;
use dyebook_workflows::{Failure, change_json};
use serde_json::{Value, json};

/// What is in the library.
pub(crate) fn run(desk: &Desk) -> Result<Outcome, Failure> {
    if !desk.library.exists() {
        return Ok(missing(desk));
    }
    let library = desk.open()?;
    let status = library.status()?;
    let methods = library.methods(None)?;
    let count = |state| methods.iter().filter(|m| m.state == state).count();
    let last = library.history(None)?.pop();
    let info = library.info();
    let bytes = std::fs::metadata(&desk.library).map(|data| data.len()).ok();
    let mut page = Page::default();
    page.line(format!("library          {}", desk.library.display()));
    page.line(format!("schema version   {}", info.schema_version));
    page.line(format!("journal          {}", info.journal));
    if let Some(system) = &info.network_file_system {
        page.line(format!(
            "warning: the file lies on a network file system ({system}); let one program at a \
             time write, and keep copies"
        ));
    }
    if let Some(copy) = &info.copied_to {
        page.line(format!(
            "migrated; the file as it was is kept at {}",
            copy.display()
        ));
    }
    page.line(format!("dyes             {}", status.dyes));
    page.line(format!("method versions  {}", status.method_versions));
    page.line(format!("  in use         {}", list(&status.approved)));
    page.line(format!("sheets           {}", status.sheets));
    page.line(format!("identifications  {}", status.identifications));
    page.line(format!("change records   {}", status.change_records));
    if let Some(last) = &last {
        page.line(format!(
            "last change      {} {} {} by {}",
            last.at, last.action, last.subject, last.by
        ));
    }
    Ok(Outcome::new(
        json!({
            "library": desk.library, "exists": true, "bytes": bytes,
            "format": info.schema_version, "journal": info.journal,
            "network_file_system": info.network_file_system, "copied_to": info.copied_to,
            "read_only": info.read_only,
            "dyes": status.dyes,
            "methods": {
                "draft": count(MethodState::Draft), "approved": count(MethodState::Approved),
                "superseded": count(MethodState::Superseded),
                "withdrawn": count(MethodState::Withdrawn),
            },
            "sheets": status.sheets, "identifications": status.identifications,
            "changes": status.change_records,
            "last_change": last.as_ref().map_or(Value::Null, change_json),
        }),
        page.text(),
    ))
}

fn list(names: &[String]) -> String {
    if names.is_empty() {
        "none".to_owned()
    } else {
        names.join(", ")
    }
}

fn missing(desk: &Desk) -> Outcome {
    let text = format!(
        "library          {} (not there yet)\nmake it with: dyebook library init\n",
        desk.library.display()
    );
    Outcome::new(
        json!({
            "library": desk.library, "exists": false, "bytes": null, "format": null, "dyes": 0,
            "methods": { "draft": 0, "approved": 0, "superseded": 0, "withdrawn": 0 },
            "sheets": 0, "identifications": 0, "changes": 0, "last_change": null,
        }),
        text,
    )
}
