//! `history`

use crate::desk::Desk;
use crate::outcome::Outcome;
use crate::table::Table;
use dyebook_library::ChangeRecord;
use dyebook_workflows::{Failure, change_json};
use serde_json::json;

/// Who changed what.
#[derive(Debug, clap::Args)]
pub(crate) struct History {
    /// A method, sheet or dye; without it, everything
    id: Option<String>,
}

impl History {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let records = desk.open()?.history(self.id.as_deref())?;
        if let (Some(id), true) = (&self.id, records.is_empty()) {
            return Err(Failure::refused(
                "history.unknown",
                format!("nothing is recorded of `{id}`"),
            )
            .hint("`dyebook history` shows everything"));
        }
        let changes: Vec<_> = records.iter().map(change_json).collect();
        Ok(Outcome::new(
            json!({ "subject": self.id, "changes": changes }),
            table(&records),
        ))
    }
}

/// Change records as a table.
pub(crate) fn table(records: &[ChangeRecord]) -> String {
    let mut table = Table::new(["no.", "when (UTC)", "who", "what", "reason"]);
    for record in records {
        table.row([
            record.seq.to_string(),
            record.at.clone(),
            record.by.clone(),
            format!("{} {} {}", record.kind, record.subject, record.action),
            record.reason.clone().unwrap_or_default(),
        ]);
    }
    table.to_string()
}
