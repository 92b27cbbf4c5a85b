//! `sheet import`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::progress::bar;
use crate::words::{checks, has_stop, tally};
use dyebook_workflows::{
    Failure, HandedIn, ImportReport, ReadFile, Replacement, import_sheets, read_bytes, read_file,
};
use serde_json::json;
use std::path::PathBuf;

/// Take in data sheets.
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
}

impl SheetImport {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let plugins = desk.plugins();
        let mut files: Vec<(HandedIn, ReadFile)> = Vec::new();
        for path in &self.files {
            let name = path
                .file_name()
                .unwrap_or(path.as_os_str())
                .to_string_lossy()
                .into_owned();
            let handed = HandedIn {
                name,
                bytes: read_bytes(path)?,
            };
            let read = read_file(
                &plugins,
                &handed,
                self.importer.as_deref(),
                &self.parameters,
            )?;
            files.push((handed, read));
        }
        let mut library = desk.open()?;
        let replacement = Replacement {
            allowed: self.replace,
            reason: self.reason.as_deref(),
        };
        let bar = bar(desk.progress, files.len(), "checking sheets");
        let report = import_sheets(
            &mut library,
            &desk.stamp(),
            &files,
            replacement,
            &|done, of| {
                bar.set_length(of as u64);
                bar.set_position(done as u64);
            },
        )?;
        bar.finish_and_clear();
        let stop = report.sheets.iter().any(|sheet| has_stop(&sheet.checks));
        Ok(Outcome::new(json!(report), text(&report)).needing_person(stop))
    }
}

fn text(report: &ImportReport) -> String {
    let mut page = Page::default();
    for file in &report.files {
        let reading = &file.reading;
        let known = |what: &Option<String>| what.clone().unwrap_or_else(|| "-".to_owned());
        page.line(format!(
            "{}  read by {} {}: separator {}, decimal {}, {}",
            file.name,
            file.importer.id,
            file.importer.version,
            known(&reading.separator),
            known(&reading.decimal),
            known(&reading.encoding)
        ));
        for warning in &file.warnings {
            let line = warning
                .row
                .map(|row| format!("line {row}: "))
                .unwrap_or_default();
            page.line(format!("  note: {line}{}", warning.message));
        }
    }
    for sheet in &report.sheets {
        page.gap();
        let state = match (sheet.new, sheet.replaced) {
            (true, true) => "replaced; what was handed in before is kept",
            (true, false) => "new",
            _ => "was imported before with just this content; nothing changed",
        };
        page.line(format!(
            "{}  section {}, group {}, {} papers, {} spots, by {}: {state}",
            sheet.id,
            sheet.section.as_deref().unwrap_or("-"),
            sheet.group,
            sheet.papers,
            sheet.spots,
            sheet.method
        ));
        page.line(format!("  {}", tally(&sheet.checks)));
        checks(&mut page, &sheet.checks);
    }
    page.text()
}
