//! `lot verify`

use crate::desk::Desk;
use crate::outcome::Outcome;
use dyebook_workflows::{Failure, LotKind, verify_lot};
use serde_json::json;

/// Record that a lot or batch was verified for a method version.
#[derive(Debug, clap::Args)]
pub(crate) struct LotVerify {
    /// The method version
    #[arg(value_name = "REF")]
    method: String,
    /// What the lot is of
    #[arg(long, value_enum)]
    kind: Kind,
    /// What stands on the packet or bottle
    #[arg(long, value_name = "LOT")]
    lot: String,
    /// How it was verified
    #[arg(long, value_name = "TEXT")]
    reason: String,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub(crate) enum Kind {
    Paper,
    Dye,
    Batch,
}

impl LotVerify {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let kind = match self.kind {
            Kind::Paper => LotKind::Paper,
            Kind::Dye => LotKind::Dye,
            Kind::Batch => LotKind::Batch,
        };
        let mut library = desk.open()?;
        let kept = verify_lot(
            &mut library,
            &self.method,
            (kind, &self.lot),
            &self.reason,
            &desk.stamp(),
        )?;
        let text = format!(
            "{} {} is verified for {}, by {}: {}\n",
            kept.kind.words(),
            kept.lot,
            kept.method,
            kept.by,
            kept.note
        );
        Ok(Outcome::new(json!({ "verified": kept }), text))
    }
}
