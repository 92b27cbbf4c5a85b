//! `reference show`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::Reference;
use dyebook_report::ReferencePage;
use dyebook_workflows::{Failure, ShownReferences, find_dye, show_references, write_file};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// A reference set with the origin of every number.
#[derive(Debug, clap::Args)]
pub(crate) struct ReferenceShow {
    /// The method version
    #[arg(value_name = "REF")]
    method: String,
    /// One dye, by any of its names
    #[arg(long, value_name = "ID-or-NAME")]
    dye: Option<String>,
    /// Also write the page, with a plot a dye, as one HTML file
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
}

impl ReferenceShow {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let dyes = library.dye_register()?;
        let dye = match &self.dye {
            Some(name) => Some(find_dye(&dyes, name)?.id.clone()),
            None => None,
        };
        let shown = show_references(&library, &dyes, &self.method, dye.as_deref())?;
        if let Some(out) = &self.html {
            write_file(out, shown.html())?;
        }
        let mut json = answer(&shown);
        json["html"] = json!(self.html);
        Ok(Outcome::new(json, text(&shown, self.html.as_deref())))
    }
}

fn answer(shown: &ShownReferences) -> Value {
    let references: Vec<Value> = shown
        .references
        .iter()
        .zip(&shown.sheet.references)
        .enumerate()
        .map(|(at, (reference, page))| {
            let numbers: Vec<Value> = page
                .numbers
                .iter()
                .map(|n| json!({ "name": n.name, "value": n.value, "from": n.from }))
                .collect();
            let sessions: Vec<Value> = page
                .sessions
                .iter()
                .map(|session| {
                    let papers: Vec<Value> = session
                        .papers
                        .iter()
                        .map(|paper| json!({ "paper": paper.paper, "rf": paper.rf }))
                        .collect();
                    json!({ "session": session.session, "papers": papers })
                })
                .collect();
            let excluded: Vec<Value> = page
                .excluded
                .iter()
                .map(|spot| {
                    json!({
                        "place": spot.place, "rf": spot.rf, "why": spot.why, "by": spot.by,
                    })
                })
                .collect();
            let more: Vec<Value> = page
                .more_papers
                .iter()
                .map(|more| json!({ "design": more.design, "range": more.range }))
                .collect();
            json!({
                "reference": reference,
                "provisional": page.provisional,
                "evidence": shown.evidence.get(at),
                "worked_out_again": shown.agrees.get(at),
                "numbers": numbers,
                "colours_seen": page.colours.iter()
                    .map(|(word, count)| json!({ "word": word, "spots": count }))
                    .collect::<Vec<Value>>(),
                "sessions": sessions,
                "excluded": excluded,
                "more_papers": more,
            })
        })
        .collect();
    json!({
        "method": {
            "id": shown.kept.id, "version": shown.kept.version, "digest": shown.kept.digest,
        },
        "state": shown.kept.state,
        "how": shown.sheet.how,
        "references": references,
    })
}

fn text(shown: &ShownReferences, html: Option<&Path>) -> String {
    let mut page = Page::default();
    page.line(format!(
        "{}  {}  content {}",
        shown.kept.name(),
        shown.kept.state,
        shown.kept.digest.short()
    ));
    for sentence in &shown.sheet.how {
        page.line(format!("  {sentence}"));
    }
    for (reference, dye) in shown.references.iter().zip(&shown.sheet.references) {
        one(&mut page, reference, dye);
    }
    if let Some(html) = html {
        page.gap();
        page.line(format!("The page with the plots is in {}.", html.display()));
    }
    page.text()
}

fn one(page: &mut Page, reference: &Reference, dye: &ReferencePage) {
    page.gap();
    page.line(format!(
        "{} ({}){}",
        dye.dye,
        reference.dye,
        if dye.provisional {
            ", provisional: below the lab's own minimum"
        } else {
            ""
        }
    ));
    let mut table = Table::new(["  number", "value", "from"]);
    for number in &dye.numbers {
        table.row([
            format!("  {}", number.name),
            number.value.clone(),
            number.from.clone(),
        ]);
    }
    page.table(&table);
    if !dye.colours.is_empty() {
        let seen: Vec<String> = dye
            .colours
            .iter()
            .map(|(word, count)| format!("{word} {count}"))
            .collect();
        page.line(format!("  colours seen: {}", seen.join(", ")));
    }
    for minor in reference.minor_spots.iter().flatten() {
        page.line(format!(
            "  expected minor spot: Rf {} ({})",
            minor.rf,
            minor.colour.as_deref().unwrap_or("any colour")
        ));
    }
    if !dye.behaviour.is_empty() {
        page.line(format!("  behaviour: {}", dye.behaviour));
    }
    for spot in &dye.excluded {
        page.line(format!(
            "  left out: {}, Rf {:.3}: {} ({})",
            spot.place, spot.rf, spot.why, spot.by
        ));
    }
    for more in &dye.more_papers {
        page.line(format!("  {} would give {}", more.design, more.range));
    }
}
