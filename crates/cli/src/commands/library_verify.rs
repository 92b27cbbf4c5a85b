//! `library verify`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_documents::counted;
use dyebook_workflows::Failure;
use serde_json::json;

/// Check the library.
pub(crate) fn run(desk: &Desk) -> Result<Outcome, Failure> {
    let report = desk.open()?.verify()?;
    let mut page = Page::default();
    let mut checks = Vec::new();
    page.line("looked at");
    for (what, count) in &report.looked_at {
        page.line(format!("{count:>7}  {what}"));
        checks
            .push(json!({ "what": what, "sound": true, "message": format!("{count} looked at") }));
    }
    for finding in &report.findings {
        page.line(format!("  {}: {}", finding.place, finding.message));
        checks.push(json!({ "what": finding.place, "sound": false, "message": finding.message }));
    }
    for note in &report.notes {
        let message = format!("note: {}", note.message);
        page.line(format!("  {}: {message}", note.place));
        checks.push(json!({ "what": note.place, "sound": true, "message": message }));
    }
    page.line(if report.ok {
        "everything is as it was recorded".to_owned()
    } else {
        format!(
            "{}: keep the file and go back to a copy with `dyebook library restore FILE`",
            counted(report.findings.len(), "finding")
        )
    });
    let json = json!({ "library": desk.library, "sound": report.ok, "checks": checks });
    Ok(Outcome::new(json, page.text()).needing_person(!report.ok))
}
