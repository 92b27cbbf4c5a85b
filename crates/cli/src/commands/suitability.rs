//! `suitability`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_report::SlipVerdict;
use dyebook_workflows::{Failure, Noted, Suitability as Found, check_suitability, write_file};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// May the class start? Judges a sheet by the limits of its method version.
///
/// Ends with 0 for go and for go with restrictions, with 1 for stop.
#[derive(Debug, clap::Args)]
pub(crate) struct Suitability {
    /// The sheet's id, or the beginning of it
    sheet: String,
    /// How long the paper ran, in minutes
    #[arg(long, value_name = "MIN")]
    minutes: Option<f64>,
    /// Temperature of the room, in °C
    #[arg(long, value_name = "C")]
    temperature: Option<f64>,
    /// Also write the slip for the hood, half a page
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
}

impl Suitability {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let noted = Noted {
            minutes: self.minutes,
            temperature_c: self.temperature,
        };
        let found = check_suitability(&library, &library.dye_register()?, &self.sheet, noted)?;
        if let Some(out) = &self.html {
            write_file(out, found.html())?;
        }
        let mut json = answer(&found);
        json["html"] = json!(self.html);
        let stop = found.slip.verdict == SlipVerdict::Stop;
        Ok(Outcome::new(json, text(&found, self.html.as_deref())).needing_person(stop))
    }
}

fn word(verdict: SlipVerdict) -> &'static str {
    match verdict {
        SlipVerdict::Go => "go",
        SlipVerdict::GoWithRestrictions => "go with restrictions",
        SlipVerdict::Stop => "stop",
    }
}

fn answer(found: &Found) -> Value {
    let lines: Vec<Value> = found
        .slip
        .lines
        .iter()
        .map(|line| {
            json!({
                "what": line.what, "value": line.value, "limit": line.limit, "keeps": line.keeps,
            })
        })
        .collect();
    let bound = &found.shown.bound;
    let restrictions = found
        .slip
        .restrictions
        .get(found.stops.len()..)
        .unwrap_or_default();
    json!({
        "sheet": found.slip.sheet,
        "method": { "id": bound.id, "version": bound.version, "digest": bound.digest },
        "verdict": word(found.slip.verdict),
        "stops": found.stops,
        "restrictions": restrictions,
        "lines": lines,
        "checks": found.checks,
    })
}

fn text(found: &Found, html: Option<&Path>) -> String {
    let slip = &found.slip;
    let mut page = Page::default();
    page.line(format!(
        "{}: {}, {}, by {}, batch {}",
        slip.verdict.words(),
        slip.section,
        slip.date,
        slip.method,
        slip.batch
    ));
    for sentence in &slip.restrictions {
        page.line(format!("  - {sentence}"));
    }
    page.gap();
    let mut table = Table::new(["looked at", "found", "limit", "verdict"]);
    for line in &slip.lines {
        let verdict = match line.keeps {
            Some(true) => "keeps it",
            Some(false) => "does not keep it",
            None => "could not be judged",
        };
        table.row([
            line.what.clone(),
            line.value.clone(),
            line.limit.clone(),
            verdict.to_owned(),
        ]);
    }
    page.table(&table);
    if let Some(html) = html {
        page.line(format!("The slip is in {}.", html.display()));
    }
    page.text()
}
