//! `identify`

use crate::desk::Desk;
use crate::identities::Gathering;
use crate::outcome::{Outcome, Page};
use crate::progress::AtTerminal;
use dyebook_documents::{Check, Identification};
use dyebook_library::Library;
use dyebook_workflows::{
    DEFAULT_STRATEGY, Failure, KeptRequest, PluginMatcher, find_sheet, identify_kept,
};
use serde::Serialize;

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
        let sheets = self.wanted(&library)?;
        let mut matcher = PluginMatcher::new(&desk.plugins(), &self.strategy, &self.parameters)?;
        let request = KeptRequest {
            sheets: &sheets,
            method: self.method.as_deref(),
            across_versions: self.reason.as_deref().filter(|_| self.across_versions),
        };
        let found = Gathering::new(desk.as_json);
        let watch = AtTerminal::new(desk.progress);
        identify_kept(
            &mut library,
            &dyes,
            &mut matcher,
            request,
            &desk.stamp(),
            &watch,
            &|one| found.take(one),
        )?;
        drop(watch);
        let found = found.in_order_of(sheets.iter().map(String::as_str));
        let mut page = Page::default();
        found.show(&mut page);
        if sheets.is_empty() {
            page.line("no sheets yet; take some in with `dyebook sheet import FILE…`");
        }
        let json = desk.json(&Answer {
            identifications: found.in_full(),
            checks: &found.checks(),
        });
        Ok(Outcome::new(json, page.text()).needing_person(found.needs_person()))
    }

    /// The sheets' identifiers in full, each once.
    fn wanted(&self, library: &Library) -> Result<Vec<String>, Failure> {
        if self.all {
            let lines = library.sheet_lines()?;
            return Ok(lines.into_iter().map(|line| line.id).collect());
        }
        let mut ids = Vec::with_capacity(self.sheets.len());
        for wanted in &self.sheets {
            let id = find_sheet(library, wanted)?.id;
            if !ids.contains(&id) {
                ids.push(id);
            }
        }
        Ok(ids)
    }
}

#[derive(Serialize)]
struct Answer<'a> {
    identifications: &'a [Identification],
    checks: &'a [&'a Check],
}
