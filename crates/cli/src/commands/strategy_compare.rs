//! `strategy compare`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::{counted, show_rf};
use dyebook_plugin_host::Kind;
use dyebook_workflows::{
    ComparedOn, ComparedOnVersion, ComparedStrategies, Difference, Failure, Matcher, PluginMatcher,
    Simulation, compare_strategies, find_sheet, score_sentence, share_words,
    strategy_comparison_page, truth_note, version_covers, write_file,
};
use serde_json::json;
use std::path::PathBuf;

/// Strategies beside each other: how often each is right, and where they differ.
#[derive(Debug, clap::Args)]
pub(crate) struct StrategyCompare {
    /// The sheets, by id or the beginning of it [default: all]
    sheets: Vec<String>,
    /// A strategy to compare, at least two [default: all that are installed]
    #[arg(long = "strategy", value_name = "ID")]
    strategies: Vec<String>,
    /// Compare on simulated groups of this method version, whose samples are known exactly
    #[arg(long, value_name = "REF", conflicts_with = "sheets")]
    simulate: Option<String>,
    /// Groups to simulate
    #[arg(long, value_name = "N", default_value_t = 200, requires = "simulate",
        value_parser = clap::value_parser!(u32).range(1..=20_000))]
    groups: u32,
    /// The same seed gives the same groups
    #[arg(long, value_name = "S", default_value_t = 1, requires = "simulate")]
    seed: u64,
    /// Differences to list here for a method version; the page and `--json` have more
    #[arg(long, value_name = "N", default_value_t = 20)]
    differences: usize,
    /// Write a page with the calibration plot
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
}

impl StrategyCompare {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let dyes = library.dye_register()?;
        let mut matchers = self.matchers(desk)?;
        let compared = if let Some(method) = &self.simulate {
            let simulation = Simulation {
                groups: usize::try_from(self.groups).unwrap_or(usize::MAX),
                seed: self.seed,
            };
            let on = ComparedOn::Simulated { method, simulation };
            compare_strategies(&library, &dyes, on, &mut matchers)?
        } else {
            let wanted = if self.sheets.is_empty() {
                let lines = library.sheet_lines()?;
                lines.into_iter().map(|line| line.id).collect()
            } else {
                self.sheets.clone()
            };
            let mut sheets = vec![];
            for id in &wanted {
                let kept = find_sheet(&library, id)?;
                if !sheets.contains(&kept) {
                    sheets.push(kept);
                }
            }
            compare_strategies(&library, &dyes, ComparedOn::Sheets(&sheets), &mut matchers)?
        };
        if let Some(file) = &self.html {
            write_file(file, strategy_comparison_page(&compared))?;
        }
        let mut page = Page::default();
        text(&mut page, &compared, self.differences);
        if let Some(file) = &self.html {
            page.gap();
            page.line(format!("page in {}", file.display()));
        }
        let mut answer = json!(compared);
        answer["page"] = json!(self.html);
        Ok(Outcome::new(answer, page.text()))
    }

    fn matchers(&self, desk: &Desk) -> Result<Vec<Box<dyn Matcher>>, Failure> {
        let plugins = desk.plugins();
        let mut ids = self.strategies.clone();
        if ids.is_empty() {
            let installed = plugins.components(Kind::Strategy);
            ids = installed.into_iter().map(|one| one.id).collect();
        }
        ids.dedup();
        if ids.len() < 2 {
            return Err(Failure::refused(
                "strategy.nothing-to-compare",
                "a comparison needs two strategies",
            )
            .hint("`dyebook strategy list` shows what is installed"));
        }
        let mut matchers: Vec<Box<dyn Matcher>> = vec![];
        for id in &ids {
            matchers.push(Box::new(PluginMatcher::new(&plugins, id, &[])?));
        }
        Ok(matchers)
    }
}

fn text(page: &mut Page, compared: &ComparedStrategies, most: usize) {
    page.line(format!(
        "{}: {} with {}",
        compared.covers,
        counted(compared.lanes, "sample lane"),
        counted(compared.spots, "spot")
    ));
    for note in &compared.notes {
        page.line(format!("  note: {note}"));
    }
    for version in &compared.versions {
        page.gap();
        if compared.versions.len() > 1 {
            page.line(format!("{}: {}", version.method, version_covers(version)));
        }
        one_version(page, version, most);
    }
}

fn one_version(page: &mut Page, version: &ComparedOnVersion, most: usize) {
    if let Some(note) = truth_note(version) {
        page.line(format!("  note: {note}"));
    }
    how_often(page, version);
    for one in version.strategies.iter().filter(|one| one.failed > 0) {
        page.line(format!(
            "{} failed to answer {}; they count as not evaluable",
            one.strategy.id,
            counted(one.failed, "lane")
        ));
    }
    calibration(page, version);
    page.gap();
    differences(page, version, most);
}

fn how_often(page: &mut Page, compared: &ComparedOnVersion) {
    let judged = compared
        .strategies
        .first()
        .map_or(0, |one| one.rates.judged);
    if judged == 0 {
        page.line(
            "What these samples hold is not recorded, so nobody can say which strategy is right.",
        );
        page.line("  record it: dyebook sheet truth FILE");
        return;
    }
    page.line(format!(
        "How often they are right, over {} whose truth is known",
        counted(judged, "spot")
    ));
    let mut table = Table::new([
        "  strategy",
        "right",
        "wrong name",
        "undecided (truth among)",
        "false \"not in set\"",
        "not evaluable",
        "dyes not named",
    ]);
    for one in &compared.strategies {
        let rates = &one.rates;
        table.row([
            format!("  {} {}", one.strategy.id, one.strategy.version),
            share_words(rates.right, rates.judged),
            share_words(rates.wrong, rates.judged),
            format!("{} ({})", rates.undecided, rates.truth_among),
            rates.false_not_in_set.to_string(),
            rates.not_evaluable.to_string(),
            share_words(rates.missed, rates.dyes),
        ]);
    }
    page.table(&table);
}

fn calibration(page: &mut Page, compared: &ComparedOnVersion) {
    for one in &compared.strategies {
        let Some(scores) = &one.rates.probabilities else {
            continue;
        };
        page.gap();
        page.line(format!(
            "Can the probabilities of {} be believed?",
            one.strategy.id
        ));
        page.line(format!("  {}", score_sentence(scores)));
        let mut table = Table::new([
            "  stated",
            "spots",
            "mean stated",
            "right",
            "interval (95 %)",
        ]);
        for row in &scores.calibration {
            table.row([
                format!("  {:.1} to {:.1}", row.low, row.high),
                row.count.to_string(),
                format!("{:.3}", row.stated),
                format!("{:.3}", row.right),
                format!("{:.3} to {:.3}", row.right_low, row.right_high),
            ]);
        }
        page.table(&table);
    }
    let without: Vec<&str> = compared
        .strategies
        .iter()
        .filter(|one| one.rates.judged > 0 && one.rates.probabilities.is_none())
        .map(|one| one.strategy.id.as_str())
        .collect();
    if !without.is_empty() {
        page.gap();
        page.line(format!("No probabilities to judge: {}", without.join(", ")));
    }
}

fn differences(page: &mut Page, compared: &ComparedOnVersion, most: usize) {
    let all = &compared.differences;
    if all.is_empty() {
        page.line("They agree on every spot.");
        return;
    }
    page.line(format!(
        "They differ on {} of {}{}",
        all.len(),
        counted(compared.spots, "spot"),
        match most {
            0 => ".".to_owned(),
            _ if all.len() > most => format!("; the first {most}:"),
            _ => ":".to_owned(),
        }
    ));
    for one in all.iter().take(most) {
        one_difference(page, one, compared);
    }
}

fn one_difference(page: &mut Page, one: &Difference, compared: &ComparedOnVersion) {
    let truth = one.truth.as_ref().map_or_else(
        || "not recorded".to_owned(),
        |truth| format!("holds {truth}"),
    );
    page.line(format!(
        "  {}, {} ({}), Rf {}; {truth}",
        one.sheet,
        one.place.words(),
        one.label,
        one.rf.map_or_else(|| "not known".to_owned(), show_rf)
    ));
    let ids = compared.strategies.iter().map(|one| &one.strategy.id);
    let width = ids.clone().map(String::len).max().unwrap_or_default();
    for (id, verdict) in ids.zip(&one.verdicts) {
        page.line(format!("    {id:width$}  {verdict}"));
    }
}
