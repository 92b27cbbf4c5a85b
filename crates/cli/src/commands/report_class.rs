//! `report --class`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::{counted, digest_bytes};
use dyebook_workflows::{
    ClassFigures, ClassVersion, DEFAULT_STRATEGY, Failure, PluginMatcher, class_decisions,
    class_figures, class_figures_csv, class_figures_page, find_sheet, section_words,
    standard_cells, standards_left_out, write_file,
};
use serde_json::json;
use std::path::PathBuf;

/// What `report` takes for a class.
#[derive(Debug, clap::Args)]
pub(crate) struct ReportClass {
    /// Figures of all sheets, each method version by itself
    #[arg(long, conflicts_with = "sheet")]
    class: bool,
    /// Only sheets of this class section; may be given several times
    #[arg(long = "section", value_name = "NAME", requires = "class")]
    sections: Vec<String>,
    /// The strategy that decides
    #[arg(long, value_name = "ID", default_value = DEFAULT_STRATEGY, requires = "class")]
    strategy: String,
    /// Leave the groups out, for a page that the class sees
    #[arg(long, requires = "class")]
    without_groups: bool,
    /// Also write the counts as CSV
    #[arg(long, value_name = "FILE", requires = "class")]
    csv: Option<PathBuf>,
}

impl ReportClass {
    pub(super) fn run(self, desk: &Desk, out: Option<PathBuf>) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let dyes = library.dye_register()?;
        let mut sheets = vec![];
        for line in library.sheet_lines()? {
            let kept = find_sheet(&library, &line.id)?;
            let section = kept.sheet.section.as_ref();
            if self.sections.is_empty() || section.is_some_and(|one| self.sections.contains(one)) {
                sheets.push(kept);
            }
        }
        let mut matcher = PluginMatcher::new(&desk.plugins(), &self.strategy, &[])?;
        let class = class_figures(&library, &dyes, &sheets, &mut matcher, !self.without_groups)?;
        let html = class_figures_page(&class);
        let out = out.unwrap_or_else(|| PathBuf::from("class.html"));
        write_file(&out, &html)?;
        if let Some(file) = &self.csv {
            write_file(file, &class_figures_csv(&class)?)?;
        }
        let mut page = Page::default();
        text(&mut page, &class);
        page.gap();
        page.line(format!("page in {}", out.display()));
        if let Some(file) = &self.csv {
            page.line(format!("counts in {}", file.display()));
        }
        let answer = json!({
            "sheet": null, "out": out, "bytes": html.len(),
            "sha256": digest_bytes(html.as_bytes()), "class": class, "csv": self.csv,
        });
        Ok(Outcome::new(answer, page.text()))
    }
}

fn text(page: &mut Page, class: &ClassFigures) {
    page.line(format!(
        "{}, decided by {} {}; nothing is stored",
        class.covers, class.strategy.id, class.strategy.version
    ));
    for note in &class.notes {
        page.line(format!("  note: {note}"));
    }
    for version in &class.versions {
        page.gap();
        page.line(format!(
            "{}: {}",
            version.method,
            counted(version.sheets, "sheet")
        ));
        decisions(page, version);
        page.gap();
        identities(page, version);
        page.gap();
        standards(page, version);
    }
}

fn decisions(page: &mut Page, version: &ClassVersion) {
    let mut table = Table::new([
        "  who",
        "spots",
        "decided",
        "can't tell",
        "not in set",
        "not evaluable",
        "right",
        "wrong",
    ]);
    for line in class_decisions(version) {
        table.row([
            format!("  {}", line.who),
            line.spots,
            line.decided,
            line.undecided,
            line.not_in_set,
            line.not_evaluable,
            line.right,
            line.wrong,
        ]);
    }
    page.table(&table);
}

fn identities(page: &mut Page, version: &ClassVersion) {
    let mut table = Table::new(["  section", "spots", "groups", "said of a spot"]);
    for one in &version.identities {
        table.row([
            format!("  {}", section_words(one.section.as_deref())),
            one.spots.to_string(),
            one.groups.to_string(),
            one.verdict.clone(),
        ]);
    }
    page.table(&table);
}

fn standards(page: &mut Page, version: &ClassVersion) {
    if version.standards.is_empty() {
        page.line("  no spot of a dye standard could be used");
    } else {
        let mut table = Table::new([
            "  standard",
            "spots",
            "sheets",
            "median Rf",
            "robust SD",
            "seen",
            "expected",
            "outside",
        ]);
        for one in &version.standards {
            let [name, rest @ ..] = standard_cells(one);
            let [spots, sheets, median, sd, seen, expected, outside] = rest;
            let name = format!("  {name}");
            table.row([name, spots, sheets, median, sd, seen, expected, outside]);
        }
        page.table(&table);
    }
    if let Some(words) = standards_left_out(version) {
        page.line(format!("  {words}"));
    }
}
