//! `sheet list`

use crate::desk::Desk;
use crate::outcome::Outcome;
use crate::table::Table;
use crate::words::tally;
use dyebook_documents::Severity;
use dyebook_workflows::{Failure, show_sheet};
use serde_json::json;

/// All sheets.
pub(crate) fn run(desk: &Desk) -> Result<Outcome, Failure> {
    let library = desk.open()?;
    let dyes = library.dye_register()?;
    let mut table = Table::new([
        "sheet", "section", "group", "date", "method", "papers", "spots", "checks",
    ]);
    let mut listed = Vec::new();
    for line in library.sheet_lines()? {
        let shown = show_sheet(&library, &dyes, &line.id)?;
        let sheet = &shown.kept.sheet;
        let count = |severity| {
            shown
                .checks
                .iter()
                .filter(|c| c.severity == severity)
                .count()
        };
        let date = sheet.date.map(|date| date.to_string());
        table.row([
            line.id.clone(),
            line.section.clone().unwrap_or_else(|| "-".to_owned()),
            line.group.clone(),
            date.clone().unwrap_or_else(|| "-".to_owned()),
            line.method.clone(),
            sheet.papers().len().to_string(),
            sheet.spot_count().to_string(),
            tally(&shown.checks),
        ]);
        listed.push(json!({
            "id": line.id, "section": line.section, "group": line.group, "date": date,
            "method": line.method, "papers": sheet.papers().len(),
            "spots": sheet.spot_count(), "amendments": shown.amendments.len(),
            "checks": {
                "stop": count(Severity::Stop), "warn": count(Severity::Warn),
                "ask": count(Severity::Ask), "info": count(Severity::Info),
            },
        }));
    }
    let text = if table.is_empty() {
        "no sheets yet; take some in with `dyebook sheet import FILE…`\n".to_owned()
    } else {
        table.to_string()
    };
    Ok(Outcome::new(json!({ "sheets": listed }), text))
}
