//! `sheet import`

use crate::desk::Desk;
use crate::identities::Gathering;
use crate::outcome::{Outcome, Page};
use crate::progress::AtTerminal;
use crate::words::{checks, has_stop, tally};
use dyebook_checks::SIGNATURES;
use dyebook_documents::{Check, Identification, Severity, counted};
use dyebook_library::Library;
use dyebook_workflows::{
    DEFAULT_STRATEGY, Failure, FilesOnDisk, Identifying, ImportReport, PluginMatcher, Replacement,
    SectionQueries, SheetReport, import_and_identify, import_sections, import_sheets, query_csv,
    query_page, write_file,
};
use serde::Serialize;
use std::path::PathBuf;
use std::thread;

/// Take in data sheets, and list what to ask the groups.
#[derive(Debug, clap::Args)]
pub(crate) struct SheetImport {
    /// The files; all of them are taken, or none
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// The importer [default: the one that knows the file]
    #[arg(long, value_name = "ID")]
    importer: Option<String>,
    /// A parameter of the importer
    #[arg(long = "param", value_name = "K=V")]
    parameters: Vec<String>,
    /// Take sheets that were handed in before with other contents; the old ones are kept beside
    #[arg(long, requires = "reason")]
    replace: bool,
    /// Why they are replaced
    #[arg(long, value_name = "TEXT")]
    reason: Option<String>,
    /// Find which dyes the lanes of the new sheets hold, too
    #[arg(long)]
    identify: bool,
    /// By this matching strategy
    #[arg(long, value_name = "ID", requires = "identify", default_value = DEFAULT_STRATEGY)]
    strategy: String,
    /// Write the list of queries, as a page (.html) to print and answer on, or as a table (.csv)
    #[arg(long, value_name = "FILE", value_parser = page_or_table)]
    queries: Vec<PathBuf>,
    /// List findings that ask nothing of anybody, too
    #[arg(long)]
    all_findings: bool,
}

fn page_or_table(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    if is_page(&path) || ending(&path).as_deref() == Some("csv") {
        Ok(path)
    } else {
        Err("name a file that ends in .csv or .html".to_owned())
    }
}

fn is_page(path: &std::path::Path) -> bool {
    matches!(ending(path).as_deref(), Some("html" | "htm"))
}

fn ending(path: &std::path::Path) -> Option<String> {
    Some(path.extension()?.to_string_lossy().to_lowercase())
}

impl SheetImport {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let plugins = desk.plugins();
        let files = FilesOnDisk {
            plugins: &plugins,
            importer: self.importer.as_deref(),
            parameters: &self.parameters,
            paths: &self.files,
        };
        let mut library = desk.open()?;
        let replacement = Replacement {
            allowed: self.replace,
            reason: self.reason.as_deref(),
        };
        let found = Gathering::new(desk.as_json);
        let report = self.take_in(desk, &mut library, &files, replacement, &found)?;
        let mut found = found.in_order_of(report.sheets.iter().map(|sheet| sheet.id.as_str()));
        found.with_findings_of(&report);
        let least = if self.all_findings {
            Severity::Info
        } else {
            Severity::Ask
        };
        for path in &self.queries {
            let text = if is_page(path) {
                query_page(&library, &report, least)?
            } else {
                query_csv(&report, least)?
            };
            write_file(path, &text)?;
        }
        // The log of a large import takes a while to be put away; what is said is written meanwhile.
        let put_away = thread::spawn(move || drop(library));
        let stop = report.sheets.iter().any(|sheet| has_stop(&sheet.checks));
        let mut page = text(&report, least, &self.queries);
        if self.identify {
            page.gap();
            if report.sheets.iter().all(|sheet| !sheet.new) {
                page.line("no sheet is new, so none was identified; for one that is there: dyebook identify SHEET");
            }
            found.show(&mut page);
        }
        let json = desk.json(&Answer {
            report: &report,
            identifications: self.identify.then(|| found.in_full()),
        });
        let _it_has_nothing_to_say = put_away.join();
        Ok(Outcome::new(json, page.text()).needing_person(stop || found.needs_person()))
    }

    fn take_in(
        &self,
        desk: &Desk,
        library: &mut Library,
        files: &FilesOnDisk<'_>,
        replacement: Replacement<'_>,
        found: &Gathering,
    ) -> Result<ImportReport, Failure> {
        let (stamp, watch) = (desk.stamp(), AtTerminal::new(desk.progress));
        if !self.identify {
            return import_sheets(library, &stamp, files, replacement, &watch);
        }
        let mut matcher = PluginMatcher::new(files.plugins, &self.strategy, &[])?;
        let identifying = Identifying {
            matcher: &mut matcher,
            told: &|one| found.take(one),
        };
        import_and_identify(library, &stamp, files, replacement, identifying, &watch)
    }
}

#[derive(Serialize)]
struct Answer<'a> {
    #[serde(flatten)]
    report: &'a ImportReport,
    #[serde(skip_serializing_if = "Option::is_none")]
    identifications: Option<&'a [Identification]>,
}

fn text(report: &ImportReport, least: Severity, written: &[PathBuf]) -> Page {
    let mut page = Page::default();
    files(&mut page, report);
    page.gap();
    page.line(taken(report));
    for section in import_sections(report, least) {
        page.gap();
        one_section(&mut page, &section);
    }
    page.gap();
    closing(&mut page, report, least);
    for path in written {
        page.line(format!("query list in {}", path.display()));
    }
    page
}

fn files(page: &mut Page, report: &ImportReport) {
    for file in &report.files {
        let reading = &file.reading;
        let said = [
            reading
                .separator
                .as_deref()
                .map(|sign| format!("separated by {}", sign_name(sign))),
            reading
                .decimal
                .as_deref()
                .map(|sign| format!("decimal {}", sign_name(sign))),
            reading.encoding.clone(),
        ];
        let said: Vec<String> = said.into_iter().flatten().collect();
        page.line(format!(
            "{}  read by {} {}: {}",
            file.name,
            file.importer.id,
            file.importer.version,
            said.join(", ")
        ));
        for warning in &file.warnings {
            let line = warning
                .row
                .map(|row| format!("line {row}: "))
                .unwrap_or_default();
            page.line(format!("  note: {line}{}", warning.message));
        }
    }
}

fn sign_name(sign: &str) -> &str {
    match sign {
        "," => "comma",
        ";" => "semicolon",
        "." => "point",
        "\t" => "tab",
        other => other,
    }
}

/// `9 sheets: 8 new, 1 imported before with just this content, so nothing changed`.
fn taken(report: &ImportReport) -> String {
    let count = |of: &dyn Fn(&&SheetReport) -> bool| report.sheets.iter().filter(of).count();
    let states = [
        (count(&|one| one.new && !one.replaced), "new"),
        (
            count(&|one| one.replaced),
            "replaced (what was handed in before is kept)",
        ),
        (
            count(&|one| !one.new),
            "imported before with just this content (nothing changed)",
        ),
    ];
    let mut there = states.iter().filter(|(number, _)| *number > 0);
    match (there.next(), report.sheets.len()) {
        (Some((_, words)), 1) => format!("1 sheet, {words}"),
        (Some((number, words)), all) if *number == all => format!("{all} sheets, all {words}"),
        (first, all) => {
            let states: Vec<String> = first
                .into_iter()
                .chain(there)
                .map(|(number, words)| format!("{number} {words}"))
                .collect();
            format!("{all} sheets: {}", states.join(", "))
        }
    }
}

fn one_section(page: &mut Page, section: &SectionQueries<'_>) {
    page.line(match section.section {
        Some(section) => format!("Section {section}"),
        None => "No section written".to_owned(),
    });
    for queries in &section.asked {
        let sheet = queries.sheet;
        let all: Vec<Check> = queries.checks.iter().copied().cloned().collect();
        page.line(format!("  Group {}: {}", sheet.group, tally(&all)));
        page.line(format!("    {}", about(sheet)));
        let mut found = Page::default();
        checks(&mut found, &all);
        for line in found.text().lines() {
            page.line(format!("  {line}"));
        }
    }
    if section.quiet.is_empty() {
        return;
    }
    page.line("  Nothing to ask:");
    for queries in &section.quiet {
        page.line(format!(
            "    Group {}: {}",
            queries.sheet.group,
            about(queries.sheet)
        ));
    }
}

/// What the sheet is, for whoever types its name next.
fn about(sheet: &SheetReport) -> String {
    let state = match (sheet.new, sheet.replaced) {
        (true, true) => "; replaced",
        (true, false) => "",
        (false, _) => "; imported before",
    };
    format!(
        "{}, {}, {}, by {}{state}",
        sheet.id,
        counted(sheet.papers, "paper"),
        counted(sheet.spots, "spot"),
        sheet.method
    )
}

/// What to do next.
fn closing(page: &mut Page, report: &ImportReport, least: Severity) {
    let all = || report.sheets.iter().flat_map(|sheet| &sheet.checks);
    let left_out = all().filter(|check| check.severity < least).count();
    if left_out > 0 {
        page.line(format!(
            "{} {} nothing of anybody; --all-findings lists {}",
            counted(left_out, "remark"),
            if left_out == 1 { "asks" } else { "ask" },
            if left_out == 1 { "it" } else { "them" }
        ));
    }
    if all().any(|check| check.severity >= least && suggests(check)) {
        page.line(
            "once the group agrees to a suggested reading: dyebook sheet amend SHEET --accept CHECK --reason \"…\"",
        );
    }
}

/// Whether a finding suggests what to read instead.
fn suggests(check: &Check) -> bool {
    let slips = ["column-scale", "columns-exchanged"];
    slips.contains(&check.check.as_str()) || SIGNATURES.iter().any(|one| one.id == check.check)
}
