//! `sheet amend`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::words::{checks, has_stop, tally};
use dyebook_documents::DyeRegister;
use dyebook_library::Library;
use dyebook_workflows::{
    Acceptance, AmendedField, Amendment, Failure, ShownSheet, accept_reading, amend_sheet,
    show_sheet,
};
use serde_json::{Value, json};

/// Correct a sheet, by hand or by accepting the reading that a finding suggests.
#[derive(Debug, clap::Args)]
pub(crate) struct SheetAmend {
    /// The sheet's id, or the beginning of it
    id: String,
    /// The paper
    #[arg(long, required_unless_present = "accept")]
    paper: Option<String>,
    /// The lane
    #[arg(long, required_unless_present = "accept")]
    lane: Option<u32>,
    /// The spot, for a field of one spot
    #[arg(long, conflicts_with = "accept")]
    spot: Option<u32>,
    /// A new value: `distance=3.4`, `front=8.1`, `colour=red`, `label=Red 40`; empty takes it away
    #[arg(
        long = "set",
        required_unless_present = "accept",
        value_name = "FIELD=VALUE",
        value_parser = field_and_value
    )]
    set: Vec<(String, String)>,
    /// Carry out the reading that this finding suggests, e.g. `both-from-edge`; of --paper or --lane
    /// where several show it
    #[arg(long, value_name = "CHECK", conflicts_with = "set")]
    accept: Option<String>,
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
        let before = show_sheet(&library, &dyes, &self.id)?;
        let (fields, accepted) = self.correct(&mut library, &dyes, &before, desk)?;
        let shown = show_sheet(&library, &dyes, &before.kept.id)?;
        let mut page = Page::default();
        page.line(format!(
            "amended {} (revision {}); what was handed in is kept",
            shown.kept.id, shown.kept.revision
        ));
        if let Some(reading) = accepted["reading"].as_str() {
            page.line(format!("  accepted: {reading}"));
        }
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
            "sheet": shown.kept.id, "amendment": fields.first(), "amendments": fields,
            "accepted": accepted, "checks": shown.checks,
        });
        Ok(Outcome::new(json, page.text()).needing_person(stop))
    }

    fn correct(
        self,
        library: &mut Library,
        dyes: &DyeRegister,
        shown: &ShownSheet,
        desk: &Desk,
    ) -> Result<(Vec<AmendedField>, Value), Failure> {
        if let Some(check) = &self.accept {
            let acceptance = Acceptance {
                check,
                paper: self.paper.as_deref(),
                lane: self.lane,
                reason: &self.reason,
            };
            let accepted = accept_reading(library, dyes, shown, acceptance, &desk.stamp())?;
            return Ok((accepted.fields, json!(accepted.offer)));
        }
        let amendment = Amendment {
            paper: self.paper.unwrap_or_default(),
            lane: self.lane.unwrap_or_default(),
            spot: self.spot,
            set: self.set,
            reason: self.reason,
        };
        let fields = amend_sheet(library, &shown.kept, &amendment, &desk.stamp())?;
        Ok((fields, Value::Null))
    }
}
