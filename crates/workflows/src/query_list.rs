//! What to ask the groups after an import: as data, as CSV, as a page.

use crate::failure::{Failure, FailureClass};
use crate::import_report::{ImportReport, SheetReport};
use crate::invented::is_invented;
use crate::resolve_method::resolve_method;
use dyebook_checks::{CheckedSheet, Query, query_list as queries_of, query_list_csv};
use dyebook_documents::{Check, Severity};
use dyebook_library::Library;
use dyebook_report::{QueryGroup, QueryList, QuerySection, query_list as query_list_html};
use std::cmp::Reverse;
use std::collections::{BTreeSet, HashMap};

/// One class section of an import, its groups with the worst finding first.
#[derive(Debug, Clone)]
pub struct SectionQueries<'a> {
    /// Class section, where the sheets name one.
    pub section: Option<&'a str>,
    /// Sheets with something to ask.
    pub asked: Vec<SheetQueries<'a>>,
    /// Sheets with nothing to ask.
    pub quiet: Vec<SheetQueries<'a>>,
}

/// One sheet with the findings that are to be asked.
#[derive(Debug, Clone)]
pub struct SheetQueries<'a> {
    /// The sheet.
    pub sheet: &'a SheetReport,
    /// Findings, the worst first.
    pub checks: Vec<&'a Check>,
    /// Milder findings left out.
    pub left_out: usize,
}

/// The sheets of an import by section, findings of `least` severity and above.
pub fn import_sections(report: &ImportReport, least: Severity) -> Vec<SectionQueries<'_>> {
    let order = group_order(report, least);
    let mut sections: Vec<SectionQueries<'_>> = vec![];
    for sheet in order {
        let section = sheet.section.as_deref();
        if sections.last().is_none_or(|last| last.section != section) {
            sections.push(SectionQueries {
                section,
                asked: vec![],
                quiet: vec![],
            });
        }
        let checks: Vec<&Check> = sheet
            .checks
            .iter()
            .filter(|check| check.severity >= least)
            .collect();
        let queries = SheetQueries {
            sheet,
            left_out: sheet.checks.len() - checks.len(),
            checks,
        };
        if let Some(last) = sections.last_mut() {
            if queries.checks.is_empty() {
                last.quiet.push(queries);
            } else {
                last.asked.push(queries);
            }
        }
    }
    sections
}

/// Sheets by section, within it in the order of the query list, those that are not in it last, as
/// they were handed in.
fn group_order(report: &ImportReport, least: Severity) -> Vec<&SheetReport> {
    let queries = queries_of(&checked(report), least);
    let mut places: HashMap<&str, usize> = HashMap::new();
    for (place, query) in queries.iter().enumerate() {
        places.entry(&query.sheet).or_insert(place);
    }
    let mut sheets: Vec<&SheetReport> = report.sheets.iter().collect();
    sheets.sort_by_cached_key(|sheet| {
        let place = places.get(sheet.id.as_str());
        let asked = sheet.checks.iter().map(|check| check.severity);
        let worst = asked.filter(|severity| *severity >= least).max();
        // Nothing is less than the mildest.
        (sheet.section.clone(), Reverse(worst), place)
    });
    sheets
}

fn checked(report: &ImportReport) -> Vec<CheckedSheet<'_>> {
    let sheets = report.sheets.iter();
    sheets
        .map(|sheet| CheckedSheet {
            sheet: &sheet.id,
            section: sheet.section.as_deref(),
            group: &sheet.group,
            date: sheet.date,
            checks: &sheet.checks,
        })
        .collect()
}

/// The query list of an import, one sentence a finding.
pub fn import_queries(report: &ImportReport, least: Severity) -> Vec<Query> {
    queries_of(&checked(report), least)
}

/// The query list of an import as CSV.
///
/// # Errors
/// None that a person could do anything about.
pub fn query_csv(report: &ImportReport, least: Severity) -> Result<String, Failure> {
    query_list_csv(&import_queries(report, least)).map_err(|error| {
        Failure::new(
            FailureClass::Bug,
            "query-list.not-writable",
            error.to_string(),
        )
    })
}

/// The query list of an import as a page to print and answer on.
///
/// # Errors
/// What the library says.
pub fn query_page(
    library: &Library,
    report: &ImportReport,
    least: Severity,
) -> Result<String, Failure> {
    let mut demo = false;
    for name in methods(report) {
        demo |= is_invented(&resolve_method(library, name)?.method()?);
    }
    Ok(page(report, least, demo))
}

/// The method versions that the sheets are bound to.
fn methods(report: &ImportReport) -> BTreeSet<&str> {
    report
        .sheets
        .iter()
        .map(|sheet| sheet.method.as_str())
        .collect()
}

fn page(report: &ImportReport, least: Severity, demo: bool) -> String {
    let sections = import_sections(report, least)
        .into_iter()
        .map(|section| QuerySection {
            section: section.section.unwrap_or("not written").to_owned(),
            groups: section
                .asked
                .iter()
                .chain(&section.quiet)
                .map(|queries| QueryGroup {
                    group: queries.sheet.group.clone(),
                    sheet: queries.sheet.id.clone(),
                    checks: queries.checks.iter().copied().cloned().collect(),
                })
                .collect(),
        })
        .collect();
    let files: Vec<&str> = report.files.iter().map(|file| file.name.as_str()).collect();
    let methods: Vec<&str> = methods(report).into_iter().collect();
    query_list_html(&QueryList {
        covers: format!("what was read from {}", files.join(", ")),
        sections,
        stamp: format!("checked by {}", methods.join(", ")),
        demo,
        program: format!("dyebook {}", env!("CARGO_PKG_VERSION")),
    })
}

#[cfg(test)]
mod tests {
    use super::{SheetQueries, import_queries, import_sections, page, query_csv};
    use crate::import_report::{ImportReport, SheetReport};
    use dyebook_documents::{Check, Severity, Where};

    fn sheet(section: &str, group: &str, severities: &[Severity]) -> SheetReport {
        let checks = severities.iter().map(|severity| Check {
            check: "front-tilt".into(),
            severity: *severity,
            place: Where::paper("1"),
            message: format!("seen by {group}"),
            alternatives: vec!["another reading".into()],
        });
        SheetReport {
            id: format!("{section}-{group}"),
            section: Some(section.into()),
            group: group.into(),
            date: None,
            method: "m@1.0.0".into(),
            papers: 1,
            spots: 1,
            new: true,
            replaced: false,
            checks: checks.collect(),
        }
    }

    fn report() -> ImportReport {
        let (stop, ask, info) = (Severity::Stop, Severity::Ask, Severity::Info);
        ImportReport {
            sheets: vec![
                sheet("tue", "quiet", &[]),
                sheet("tue", "mild", &[ask, info]),
                sheet("mon", "remarks", &[info, info]),
                sheet("tue", "bad", &[stop]),
                sheet("tue", "remarked", &[info]),
            ],
            files: vec![],
        }
    }

    #[test]
    fn sections_in_order_and_the_worst_group_first() {
        let report = report();
        let sections = import_sections(&report, Severity::Ask);
        let shown: Vec<_> = sections
            .iter()
            .map(|section| {
                let names = |all: &[SheetQueries<'_>]| -> Vec<String> {
                    all.iter().map(|one| one.sheet.group.clone()).collect()
                };
                (
                    section.section,
                    names(&section.asked),
                    names(&section.quiet),
                )
            })
            .collect();
        let expected = [
            (Some("mon"), vec![], vec!["remarks".to_owned()]),
            (
                Some("tue"),
                vec!["bad".to_owned(), "mild".to_owned()],
                // a remark that is not shown puts nobody first
                vec!["quiet".to_owned(), "remarked".to_owned()],
            ),
        ];
        assert_eq!(shown, expected);
        assert_eq!(sections[0].quiet[0].left_out, 2);
    }

    #[test]
    fn csv_and_page_hold_what_is_asked_and_no_more() {
        let report = report();
        assert_eq!(import_queries(&report, Severity::Ask).len(), 2);
        let csv = query_csv(&report, Severity::Ask).unwrap();
        assert_eq!(csv.lines().count(), 3);
        assert!(csv.contains("paper 1: seen by bad (perhaps another reading)."));
        let page = page(&report, Severity::Ask, true);
        assert!(page.contains("seen by mild") && !page.contains("seen by remarks"));
        assert!(page.contains("Nothing to ask: quiet, remarked."));
    }
}
