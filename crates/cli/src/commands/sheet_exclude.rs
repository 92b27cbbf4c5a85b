//! `sheet exclude`

use crate::desk::Desk;
use crate::outcome::Outcome;
use dyebook_workflows::{Failure, SpotPlace, exclude_spot};
use serde_json::json;

/// Say that a spot counts for no assigned value; kept for ever with the reason.
///
/// The spot stays on its sheet and in every identification. References established from now on
/// leave it out and say so; those that stand do not change.
#[derive(Debug, clap::Args)]
pub(crate) struct SheetExclude {
    /// The sheet's id, or the beginning of it
    id: String,
    /// The paper
    #[arg(long)]
    paper: String,
    /// The lane
    #[arg(long)]
    lane: u32,
    /// The spot
    #[arg(long, default_value_t = 1)]
    spot: u32,
    /// Why, and on whose word
    #[arg(long, value_name = "TEXT")]
    reason: String,
}

impl SheetExclude {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let mut library = desk.open()?;
        let place = SpotPlace {
            sheet: self.id,
            paper: self.paper,
            lane: self.lane,
            spot: self.spot,
        };
        let kept = exclude_spot(&mut library, &place, &self.reason, &desk.stamp())?;
        let text = format!(
            "{kept} counts for no assigned value from now on: {}\n",
            self.reason
        );
        let json = json!({ "excluded": kept, "reason": self.reason });
        Ok(Outcome::new(json, text))
    }
}
