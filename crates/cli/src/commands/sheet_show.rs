//! `sheet show`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use crate::words::{checks, has_stop, role, tally};
use dyebook_documents::{Where, show_rf_with_u};
use dyebook_workflows::{Failure, ShownSheet, show_sheet};
use serde_json::{Value, json};

/// One sheet.
#[derive(Debug, clap::Args)]
pub(crate) struct SheetShow {
    /// The sheet's id, or the beginning of it
    id: String,
}

impl SheetShow {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let shown = show_sheet(&library, &library.dye_register()?, &self.id)?;
        let stop = has_stop(&shown.checks);
        Ok(Outcome::new(answer(&shown), text(&shown)).needing_person(stop))
    }
}

fn answer(shown: &ShownSheet) -> Value {
    let rf: Vec<Value> = shown
        .evaluated
        .lanes
        .iter()
        .flat_map(|lane| {
            lane.spots.iter().map(|spot| {
                json!({
                    "paper": lane.paper, "lane": lane.lane, "spot": spot.spot,
                    "rf": spot.rf, "u": spot.u,
                })
            })
        })
        .collect();
    json!({
        "id": shown.kept.id,
        "revision": shown.kept.revision,
        "method": {
            "id": shown.bound.id, "version": shown.bound.version, "digest": shown.bound.digest,
        },
        "sheet": shown.kept.sheet,
        "file": { "name": shown.file_name, "sha256": shown.kept.file_sha256 },
        "rf": rf,
        "exclusions": shown.exclusions,
        "amendments": shown.amendments,
        "checks": shown.checks,
    })
}

fn text(shown: &ShownSheet) -> String {
    let sheet = &shown.kept.sheet;
    let mut page = Page::default();
    page.line(format!(
        "{}  section {}, group {}, {}",
        shown.kept.id,
        sheet.section.as_deref().unwrap_or("-"),
        sheet.group,
        sheet
            .date
            .map_or_else(|| "no date".to_owned(), |date| date.to_string())
    ));
    page.line(format!(
        "method  {} (written {}), now {}",
        shown.bound.name(),
        sheet.method,
        shown.bound.state
    ));
    page.line(format!(
        "file    {} (SHA-256 {})",
        shown.file_name, shown.kept.file_sha256
    ));
    page.gap();
    let mut table = Table::new([
        "paper", "lane", "spot", "distance", "front", "Rf", "colour", "label",
    ]);
    for (lane, written) in shown.evaluated.lanes.iter().zip(&sheet.lanes) {
        for spot in &lane.spots {
            let row = written.rows.get(spot.position);
            let text = |value: Option<String>, unit: &str| {
                value.map_or_else(|| "-".to_owned(), |value| format!("{value} {unit}"))
            };
            let distance = row
                .and_then(|r| r.distance.as_ref())
                .map(ToString::to_string);
            let front = row.and_then(|r| r.front.as_ref()).map(ToString::to_string);
            table.row([
                lane.paper.to_string(),
                lane.lane.to_string(),
                spot.spot.to_string(),
                text(distance, sheet.units.distance.symbol()),
                text(front, sheet.units.front.symbol()),
                spot.rf
                    .map_or_else(|| "-".to_owned(), |rf| show_rf_with_u(rf, spot.u)),
                spot.colour.as_deref().unwrap_or("-").to_owned(),
                format!("{} ({})", lane.label, role(lane.role)),
            ]);
        }
    }
    page.table(&table);
    page.gap();
    page.line(tally(&shown.checks));
    checks(&mut page, &shown.checks);
    for excluded in &shown.exclusions {
        page.line(format!(
            "counts for no assigned value: {}: {}",
            Where::spot(&excluded.paper, excluded.lane, excluded.spot).words(),
            excluded.reason
        ));
    }
    for amended in &shown.amendments {
        page.line(format!(
            "amended: {} {} from {} to {}, by {}: {}",
            amended.place.words(),
            amended.field,
            amended.from,
            amended.to,
            amended.by,
            amended.reason
        ));
    }
    page.text()
}
