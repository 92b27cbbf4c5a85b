//! `lot list`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_workflows::{Failure, verified_lots};
use serde_json::json;

/// Lots and batches that were verified, by whom and for which version.
#[derive(Debug, clap::Args)]
pub(crate) struct LotList {
    /// One method, by its id
    #[arg(value_name = "METHOD")]
    method: Option<String>,
}

impl LotList {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let lots = verified_lots(&desk.open()?, self.method.as_deref())?;
        let mut page = Page::default();
        let mut table = Table::new(["lot", "of", "verified for", "when", "by", "how"]);
        for lot in &lots {
            table.row([
                lot.lot.clone(),
                lot.kind.words().to_owned(),
                lot.method.clone(),
                lot.at.split('T').next().unwrap_or_default().to_owned(),
                lot.by.clone(),
                lot.note.clone(),
            ]);
        }
        if lots.is_empty() {
            page.line("no lot is recorded as verified; `dyebook lot verify` records one");
        } else {
            page.table(&table);
        }
        Ok(Outcome::new(json!({ "lots": lots }), page.text()))
    }
}
