//! `method show`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::{Method, show_rf};
use dyebook_workflows::{Failure, resolve_method};
use serde_json::{Value, json};

/// One method version.
#[derive(Debug, clap::Args)]
pub(crate) struct MethodShow {
    /// `id@version` or `id@requirement`
    #[arg(value_name = "REF")]
    reference: String,
}

impl MethodShow {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let kept = resolve_method(&library, &self.reference)?;
        let method = kept.method()?;
        let mut json = kept.document.clone();
        if let Value::Object(members) = &mut json {
            members.insert("state".to_owned(), json!(kept.state));
            members.insert("digest".to_owned(), json!(kept.digest));
            members.insert("origin".to_owned(), json!(kept.origin.word()));
        }
        let mut page = Page::default();
        page.line(format!(
            "{}  {}  ({}, content {})",
            kept.name(),
            method.title,
            kept.state,
            kept.digest.short()
        ));
        page.line(format!(
            "stationary phase  {}",
            method.stationary_phase.material
        ));
        for line in composition_lines(&method) {
            page.line(line);
        }
        page.gap();
        page.table(&references(&method));
        for caution in method.cautions.iter().flatten() {
            page.line(format!(
                "caution: {} (source: {}, {}, {})",
                caution.text,
                caution.source,
                caution
                    .jurisdiction
                    .as_deref()
                    .unwrap_or("no jurisdiction given"),
                caution.date.as_deref().unwrap_or("no date given"),
            ));
        }
        Ok(Outcome::new(json, page.text()))
    }
}

fn composition_lines(method: &Method) -> Vec<String> {
    method
        .developer
        .components
        .iter()
        .map(|component| {
            let amount = match (component.amount, component.basis) {
                (Some(amount), Some(basis)) => format!("{amount} {}", basis.symbol()),
                _ if component.make_up_to_volume == Some(true) => "to volume".to_owned(),
                _ => "amount not known".to_owned(),
            };
            let stock = component.stock.as_ref().map(|stock| {
                format!(
                    ", from {} ({} {})",
                    stock.name.as_deref().unwrap_or("a stock"),
                    stock.strength,
                    stock.basis.symbol()
                )
            });
            format!(
                "solvent           {} {amount}{}",
                component.substance,
                stock.unwrap_or_default()
            )
        })
        .collect()
}

fn references(method: &Method) -> Table {
    let mut table = Table::new([
        "dye",
        "expected Rf",
        "assigned",
        "sessions",
        "papers",
        "spots",
        "colour",
        "remark",
    ]);
    for reference in &method.references {
        let count = |n: Option<u32>| n.map_or_else(|| "not known".to_owned(), |n| n.to_string());
        let counts = reference.count;
        let provisional = reference.provisional.unwrap_or(false);
        let remark = [
            provisional.then(|| "provisional".to_owned()),
            reference.behaviour.clone(),
        ];
        table.row([
            reference.dye.clone(),
            format!(
                "{} to {}",
                show_rf(reference.expected_rf.low),
                show_rf(reference.expected_rf.high)
            ),
            reference
                .assigned_rf
                .map_or_else(|| "not known".to_owned(), |rf| format!("{rf:.3}")),
            count(counts.and_then(|c| c.sessions)),
            count(counts.and_then(|c| c.papers)),
            count(counts.and_then(|c| c.spots)),
            reference
                .colours
                .as_ref()
                .map(|c| c.join(", "))
                .unwrap_or_default(),
            remark.into_iter().flatten().collect::<Vec<_>>().join("; "),
        ]);
    }
    table
}
