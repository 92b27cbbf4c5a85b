//! `sheet amend`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::words::{checks, has_stop, tally};
use dyebook_workflows::{Amendment, Failure, amend_sheet, find_sheet, show_sheet};
use serde_json::json;

/// Correct a sheet.
#[derive(Debug, clap::Args)]
pub(crate) struct SheetAmend {
    /// The sheet's id, or the beginning of it
    id: String,
    /// The paper
    #[arg(long)]
    paper: String,
    /// The lane
    #[arg(long)]
    lane: u32,
    /// The spot, for a field of one spot
    #[arg(long)]
    spot: Option<u32>,
    /// A new value: `distance=3.4`, `front=8.1`, `colour=red`, `label=Red 40`; empty takes it away
    #[arg(long = "set", required = true, value_name = "FIELD=VALUE", value_parser = field_and_value)]
    set: Vec<(String, String)>,
    /// Why, and on whose word
    #[arg(long, value_name = "TEXT")]
    reason: String,
}

fn field_and_value(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((field, value)) => Ok((field.trim().to_lowercase(), value.trim().to_owned())),
        None => Err("write it as FIELD=VALUE, e.g. distance=3.4".to_owned()),
    }
}

impl SheetAmend {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let mut library = desk.open()?;
        let dyes = library.dye_register()?;
        let kept = find_sheet(&library, &self.id)?;
        let amendment = Amendment {
            paper: self.paper,
            lane: self.lane,
            spot: self.spot,
            set: self.set,
            reason: self.reason,
        };
        let fields = amend_sheet(&mut library, &kept, &amendment, &desk.stamp())?;
        let shown = show_sheet(&library, &dyes, &kept.id)?;
        let mut page = Page::default();
        page.line(format!(
            "amended {} (revision {}); what was handed in is kept",
            kept.id, shown.kept.revision
        ));
        for field in &fields {
            page.line(format!(
                "  {} {}: {} becomes {}",
                field.place.words(),
                field.field,
                field.from,
                field.to
            ));
        }
        page.line(format!("  {}", tally(&shown.checks)));
        checks(&mut page, &shown.checks);
        let stop = has_stop(&shown.checks);
        let json = json!({
            "sheet": kept.id, "amendment": fields.first(), "amendments": fields,
            "checks": shown.checks,
        });
        Ok(Outcome::new(json, page.text()).needing_person(stop))
    }
}
