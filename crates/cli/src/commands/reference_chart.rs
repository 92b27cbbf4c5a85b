//! `reference chart`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_report::{ControlChart, control_chart, control_chart_svg, control_chart_text};
use dyebook_workflows::{ChartRequest, Charts, Failure, control_charts, find_dye, write_file};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// Control charts: do the control dyes still run where they should?
///
/// One chart a control dye, from all kept sheets of the method, broken at version changes. Centre
/// and limits are those of the method version; they never move with the values.
#[derive(Debug, clap::Args)]
pub(crate) struct ReferenceChart {
    /// A version of the method
    #[arg(value_name = "REF")]
    method: String,
    /// One dye, by any of its names [default: the method's controls]
    #[arg(long, value_name = "ID-or-NAME")]
    dye: Option<String>,
    /// Write the chart as SVG, or as a page if the name ends in .html; the dye's id goes into the
    /// name where there are several
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

impl ReferenceChart {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let dyes = library.dye_register()?;
        let dye = match &self.dye {
            Some(name) => Some(find_dye(&dyes, name)?.id.clone()),
            None => None,
        };
        let found = control_charts(
            &library,
            &dyes,
            ChartRequest {
                method: &self.method,
                dye: dye.as_deref(),
            },
        )?;
        let files = match &self.out {
            Some(out) => write(out, &found)?,
            None => Vec::new(),
        };
        let mut page = Page::default();
        for chart in &found.charts {
            page.gap();
            page.line(control_chart_text(chart));
        }
        page.gap();
        for note in &found.notes {
            page.line(note);
        }
        for file in &files {
            page.line(format!("The chart is in {}.", file.display()));
        }
        Ok(Outcome::new(answer(&found, &files), page.text()))
    }
}

fn write(out: &Path, found: &Charts) -> Result<Vec<PathBuf>, Failure> {
    let mut files = Vec::new();
    let as_page = out.extension().is_some_and(|ending| ending == "html");
    for (dye, chart) in found.dyes.iter().zip(&found.charts) {
        let file = if found.charts.len() == 1 {
            out.to_path_buf()
        } else {
            with_dye(out, dye)
        };
        let text = if as_page {
            control_chart(chart)
        } else {
            control_chart_svg(chart)
        };
        write_file(&file, &text)?;
        files.push(file);
    }
    Ok(files)
}

/// `chart.svg` becomes `chart-tartrazine.svg`.
fn with_dye(out: &Path, dye: &str) -> PathBuf {
    let stem = out.file_stem().unwrap_or_default().to_string_lossy();
    let name = match out.extension() {
        Some(ending) => format!("{stem}-{dye}.{}", ending.to_string_lossy()),
        None => format!("{stem}-{dye}"),
    };
    out.with_file_name(name)
}

fn answer(found: &Charts, files: &[PathBuf]) -> Value {
    let charts: Vec<Value> = found
        .dyes
        .iter()
        .zip(&found.charts)
        .map(|(dye, chart)| {
            json!({ "dye": dye, "segments": segments(chart), "findings": chart.findings })
        })
        .collect();
    let method = found.charts.first().map(|chart| chart.method.clone());
    json!({ "method": method, "charts": charts, "notes": found.notes, "files": files })
}

fn segments(chart: &ControlChart) -> Vec<Value> {
    chart
        .segments
        .iter()
        .map(|segment| {
            let points: Vec<Value> = segment
                .points
                .iter()
                .map(|point| {
                    json!({
                        "date": point.date, "section": point.session, "rf": point.value,
                        "note": point.note, "flagged": point.flagged,
                    })
                })
                .collect();
            json!({
                "version": segment.version, "centre": segment.centre,
                "warning": segment.warning, "action": segment.action,
                "limits_from": segment.limits_from, "points": points,
            })
        })
        .collect()
}
