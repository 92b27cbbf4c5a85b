//! `identify`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::words::{has_stop, identification};
use dyebook_workflows::{
    DEFAULT_STRATEGY, Failure, IdentifyRequest, PluginMatcher, find_sheet, identify,
    keep_identifications,
};
use serde_json::{Value, json};

/// Find which dyes the lanes hold.
#[derive(Debug, clap::Args)]
pub(crate) struct Identify {
    /// The sheets, by id or the beginning of it
    #[arg(required_unless_present = "all")]
    sheets: Vec<String>,
    /// All sheets
    #[arg(long, conflicts_with = "sheets")]
    all: bool,
    /// The matching strategy
    #[arg(long, value_name = "ID", default_value = DEFAULT_STRATEGY)]
    strategy: String,
    /// Another version of the same major than the one the sheets were run by
    #[arg(long, value_name = "REF")]
    method: Option<String>,
    /// A parameter of the strategy
    #[arg(long = "param", value_name = "K=V")]
    parameters: Vec<String>,
    /// Match with a version whose Rf are not comparable; it is stamped on every answer
    #[arg(long, requires_all = ["method", "reason"])]
    across_versions: bool,
    /// Why
    #[arg(long, value_name = "TEXT")]
    reason: Option<String>,
}

impl Identify {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let mut library = desk.open()?;
        let dyes = library.dye_register()?;
        let wanted = if self.all {
            library
                .sheet_lines()?
                .into_iter()
                .map(|line| line.id)
                .collect()
        } else {
            self.sheets
        };
        let mut sheets = Vec::with_capacity(wanted.len());
        for id in &wanted {
            let kept = find_sheet(&library, id)?;
            if !sheets.contains(&kept) {
                sheets.push(kept);
            }
        }
        let mut matcher = PluginMatcher::new(&desk.plugins(), &self.strategy, &self.parameters)?;
        let request = IdentifyRequest {
            sheets: &sheets,
            method: self.method.as_deref(),
            across_versions: self.reason.as_deref().filter(|_| self.across_versions),
        };
        let found = identify(&library, &dyes, &mut matcher, request)?;
        keep_identifications(&mut library, &found, &desk.stamp())?;
        let mut page = Page::default();
        for one in &found {
            page.gap();
            identification(&mut page, one);
        }
        if found.is_empty() {
            page.line("no sheets yet; take some in with `dyebook sheet import FILE…`");
        }
        let checks: Vec<Value> = found
            .iter()
            .flat_map(|one| &one.checks)
            .map(|check| json!(check))
            .collect();
        let failed = found
            .iter()
            .flat_map(|one| &one.lanes)
            .any(|lane| lane.failed.is_some());
        let stop = found.iter().any(|one| has_stop(&one.checks));
        let json = json!({ "identifications": found, "checks": checks });
        Ok(Outcome::new(json, page.text()).needing_person(failed || stop))
    }
}
