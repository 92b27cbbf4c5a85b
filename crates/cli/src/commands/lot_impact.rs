//! `lot impact`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_workflows::{Failure, LotImpact as Found, lot_impact};
use serde_json::json;

/// Everything that used a lot or batch.
#[derive(Debug, clap::Args)]
pub(crate) struct LotImpact {
    /// The lot or batch, as it stands on sheets and in methods
    #[arg(value_name = "LOT")]
    lot: String,
}

impl LotImpact {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let found = lot_impact(&desk.open()?, &self.lot)?;
        Ok(Outcome::new(json!(found), text(&found)))
    }
}

fn text(found: &Found) -> String {
    let mut page = Page::default();
    if found.uses.is_empty() && found.verified.is_empty() {
        page.line(format!("Nothing in this library used {}.", found.lot));
        return page.text();
    }
    page.line(summary(found));
    for found in &found.uses {
        let method = found
            .method
            .as_ref()
            .map(|m| format!(", run by {m}"))
            .unwrap_or_default();
        let identified = match (&found.identified_by, found.kind) {
            (Some(by), _) => format!("; identities stored by {by}"),
            (None, "sheet") => "; no identities stored".to_owned(),
            _ => String::new(),
        };
        page.line(format!(
            "  {} {}: {}{method}{identified}",
            found.kind, found.subject, found.how
        ));
    }
    for resting in &found.references {
        page.line(format!(
            "  references of {} ({}) rest on sheets among these: {}",
            resting.method,
            resting.state,
            resting.dyes.join(", ")
        ));
    }
    for verified in &found.verified {
        page.line(format!(
            "  verified as {} for {}, by {}: {}",
            verified.kind.words(),
            verified.method,
            verified.by,
            verified.note
        ));
    }
    page.text()
}

fn summary(found: &Found) -> String {
    let of = |kind: &str, one: &str, many: &str| match found
        .uses
        .iter()
        .filter(|found| found.kind == kind)
        .count()
    {
        0 => None,
        1 => Some(format!("1 {one}")),
        count => Some(format!("{count} {many}")),
    };
    let named = of(
        "method",
        "method version names it",
        "method versions name it",
    );
    let used = of("sheet", "sheet used it", "sheets used it");
    let parts: Vec<String> = [named, used].into_iter().flatten().collect();
    if parts.is_empty() {
        format!("{}: no sheet used it and no method names it.", found.lot)
    } else {
        format!("{}: {}.", found.lot, parts.join(", "))
    }
}
