//! `method withdraw`

use crate::desk::Desk;
use crate::outcome::Outcome;
use dyebook_documents::counted;
use dyebook_workflows::{Failure, change_json, withdraw_method};
use serde_json::json;

/// Take a version out of use.
#[derive(Debug, clap::Args)]
pub(crate) struct MethodWithdraw {
    /// The version, `id@version`
    #[arg(value_name = "REF")]
    reference: String,
    /// Why
    #[arg(long, value_name = "TEXT")]
    reason: String,
}

impl MethodWithdraw {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let mut library = desk.open()?;
        let (method, (sheets, identifications)) =
            withdraw_method(&mut library, &self.reference, &self.reason, &desk.stamp())?;
        let record = library
            .history(Some(&method.name()))?
            .pop()
            .ok_or_else(|| Failure::refused("history.unknown", "the withdrawal left no record"))?;
        let text = format!(
            "withdrew {}; what rests on it stays as it is: {} and {}\n",
            method.name(),
            counted(sheets, "sheet"),
            counted(identifications, "identification")
        );
        Ok(Outcome::new(
            json!({
                "method": { "id": method.id, "version": method.version, "digest": method.digest },
                "state": method.state,
                "used_by": { "sheets": sheets, "identifications": identifications },
                "change": change_json(&record),
            }),
            text,
        ))
    }
}
