//! The identities of many sheets as numbers.

use crate::outcome::Page;
use crate::table::Table;
use crate::words::has_stop;
use dyebook_documents::{Decision, Identification, counted};
use std::collections::BTreeMap;

/// Counts of what was found, by method version: what two solvents give is never added up.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    versions: BTreeMap<String, Counts>,
    failed_lanes: usize,
    stops: usize,
}

#[derive(Debug, Default)]
struct Counts {
    sheets: usize,
    lanes: usize,
    spots: usize,
    identified: usize,
    open: usize,
    not_in_set: usize,
    without: usize,
}

impl Tally {
    /// Counts the identities of a sheet.
    pub(crate) fn add(&mut self, found: &Identification) {
        let version = format!("{}@{}", found.method.id, found.method.version);
        let counts = self.versions.entry(version).or_default();
        counts.sheets += 1;
        counts.lanes += found.lanes.len();
        for spot in found.lanes.iter().flat_map(|lane| &lane.spots) {
            counts.spots += 1;
            *match spot.decision {
                Decision::Identified => &mut counts.identified,
                Decision::Indistinguishable => &mut counts.open,
                Decision::NotInReferenceSet => &mut counts.not_in_set,
                Decision::NotEvaluable | Decision::NoValidReference => &mut counts.without,
            } += 1;
        }
        let failed = found.lanes.iter().filter(|lane| lane.failed.is_some());
        self.failed_lanes += failed.count();
        self.stops += usize::from(has_stop(&found.checks));
    }

    /// Whether somebody has to look.
    pub(crate) fn needs_person(&self) -> bool {
        self.failed_lanes > 0 || self.stops > 0
    }

    /// The numbers, and where the lanes are shown.
    pub(crate) fn show(&self, page: &mut Page) {
        let mut table = Table::new([
            "method version",
            "sheets",
            "lanes",
            "spots",
            "identified",
            "left open",
            "not in the reference set",
            "not evaluable",
        ]);
        for (version, counts) in &self.versions {
            let share = |part: usize| match counts.spots {
                0 => "0".to_owned(),
                spots => format!("{part} ({} %)", (part * 200 + spots) / (2 * spots)),
            };
            table.row([
                version.clone(),
                counts.sheets.to_string(),
                counts.lanes.to_string(),
                counts.spots.to_string(),
                share(counts.identified),
                share(counts.open),
                share(counts.not_in_set),
                share(counts.without),
            ]);
        }
        page.table(&table);
        page.gap();
        if self.stops > 0 {
            page.line(format!(
                "sheets with findings that stop their use: {}",
                self.stops
            ));
        }
        if self.failed_lanes > 0 {
            page.line(format!(
                "the strategy failed on {}",
                counted(self.failed_lanes, "lane")
            ));
        }
        page.line("lane by lane: dyebook identify SHEET, or dyebook report SHEET");
    }
}

#[cfg(test)]
mod tests {
    use super::Tally;
    use crate::outcome::Page;
    use dyebook_documents::Identification;
    use serde_json::json;

    fn found(version: &str, decisions: &[&str]) -> Identification {
        let spots: Vec<_> = (1..)
            .zip(decisions)
            .map(|(spot, decision)| {
                json!({"spot": spot, "rf": 0.4, "u": 0.01, "decision": decision,
                       "candidates": [], "reason": "r"})
            })
            .collect();
        serde_json::from_value(json!({
            "sheet": "s", "sheet_revision": 1, "sheet_digest": "0".repeat(64), "amended": false,
            "method": {"id": "m", "version": version, "digest": "0".repeat(64)},
            "strategy": {"id": "range", "version": "1.0.0", "digest": "0".repeat(64), "parameters": {}},
            "lanes": [{"paper": "1", "lane": 1, "label": "Q", "role": "sample", "dyes": [],
                       "spots": spots, "failed": null}],
            "notes": [], "checks": []
        }))
        .unwrap()
    }

    #[test]
    fn what_two_versions_give_is_never_added_up() {
        let mut tally = Tally::default();
        tally.add(&found(
            "1.0.0",
            &["identified", "identified", "indistinguishable"],
        ));
        tally.add(&found("2.0.0", &["not in reference set"]));
        let mut page = Page::default();
        tally.show(&mut page);
        let text = page.text();
        let lines: Vec<Vec<&str>> = text
            .lines()
            .map(|line| line.split_whitespace().collect())
            .collect();
        assert_eq!(
            lines[1][..8],
            ["m@1.0.0", "1", "1", "3", "2", "(67", "%)", "1"]
        );
        assert_eq!(lines[2][0], "m@2.0.0");
        assert!(!tally.needs_person());
    }
}
