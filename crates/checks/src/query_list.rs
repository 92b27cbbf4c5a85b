//! What to ask the groups, as a list that a demonstrator can act on.

use dyebook_documents::{Check, Severity, Where};
use jiff::civil::Date;
use serde::Serialize;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// A sheet with what its checks found.
#[derive(Debug, Clone, Copy)]
pub struct CheckedSheet<'a> {
    /// Sheet identifier.
    pub sheet: &'a str,
    /// Class section.
    pub section: Option<&'a str>,
    /// Group.
    pub group: &'a str,
    /// Day.
    pub date: Option<Date>,
    /// Findings.
    pub checks: &'a [Check],
}

/// One question to a group.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Query {
    /// Class section.
    pub section: Option<String>,
    /// Group.
    pub group: String,
    /// Day.
    pub date: Option<Date>,
    /// Sheet identifier.
    pub sheet: String,
    /// What it asks of a person.
    pub severity: Severity,
    /// Where.
    #[serde(rename = "where")]
    pub place: Where,
    /// Name of the check.
    pub check: String,
    /// One sentence.
    pub sentence: String,
}

/// Findings of `least` severity and above as sentences: by section, within it the group with the
/// worst finding first, within the group the worst finding first.
pub fn query_list(sheets: &[CheckedSheet<'_>], least: Severity) -> Vec<Query> {
    let mut queries: Vec<Query> = sheets
        .iter()
        .flat_map(|sheet| {
            let checks = sheet.checks.iter().filter(|check| check.severity >= least);
            checks.map(|check| query(sheet, check))
        })
        .collect();
    let mut worst: BTreeMap<(Option<&str>, &str), Severity> = BTreeMap::new();
    for sheet in sheets {
        for check in sheet.checks {
            let of_group = worst
                .entry((sheet.section, sheet.group))
                .or_insert(check.severity);
            *of_group = check.severity.max(*of_group);
        }
    }
    // Stable, so that findings of one severity keep the order of the sheet.
    queries.sort_by_cached_key(|query| {
        (
            query.section.clone(),
            Reverse(
                worst
                    .get(&(query.section.as_deref(), &*query.group))
                    .copied(),
            ),
            natural(&query.group),
            Reverse(query.severity),
        )
    });
    queries
}

fn query(sheet: &CheckedSheet<'_>, check: &Check) -> Query {
    Query {
        section: sheet.section.map(str::to_owned),
        group: sheet.group.to_owned(),
        date: sheet.date,
        sheet: sheet.sheet.to_owned(),
        severity: check.severity,
        place: check.place.clone(),
        check: check.check.clone(),
        sentence: sentence(check),
    }
}

/// Place, what was seen, and what else it may mean.
fn sentence(check: &Check) -> String {
    let place = check.place.words();
    let seen = &check.message;
    match check.alternatives.as_slice() {
        [] => format!("{place}: {seen}."),
        others => format!("{place}: {seen} (perhaps {}).", others.join("; or ")),
    }
}

/// A name with its numbers as numbers, so that group 10 comes after group 2.
fn natural(name: &str) -> Vec<(String, u64)> {
    let mut parts = vec![];
    let mut rest = name;
    while !rest.is_empty() {
        let words = rest
            .find(|c: char| c.is_ascii_digit())
            .unwrap_or(rest.len());
        let (word, behind) = rest.split_at(words);
        let digits = behind
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(behind.len());
        let (number, behind) = behind.split_at(digits);
        parts.push((word.to_lowercase(), number.parse().unwrap_or(0)));
        rest = behind;
    }
    parts
}

/// The list as CSV text with a line of headings, comma-separated, one line a query.
///
/// # Errors
/// [`csv::Error`] never happens when writing to memory; it is passed on all the same.
pub fn query_list_csv(queries: &[Query]) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(vec![]);
    writer.write_record([
        "section", "group", "date", "severity", "paper", "lane", "spot", "query", "check", "sheet",
    ])?;
    for query in queries {
        let number = |value: Option<u32>| value.map(|value| value.to_string()).unwrap_or_default();
        writer.write_record([
            &as_text(query.section.as_deref().unwrap_or_default()),
            &as_text(&query.group),
            &query.date.map(|date| date.to_string()).unwrap_or_default(),
            query.severity.word(),
            &as_text(query.place.paper.as_deref().unwrap_or_default()),
            &number(query.place.lane),
            &number(query.place.spot),
            &query.sentence,
            &query.check,
            &query.sheet,
        ])?;
    }
    let bytes = writer
        .into_inner()
        .map_err(csv::IntoInnerError::into_error)?;
    // Every field was valid text.
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// What a group wrote, so that no spreadsheet takes it for a formula.
pub fn as_text(written: &str) -> String {
    if written.starts_with(['=', '+', '@']) {
        format!("'{written}")
    } else {
        written.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::{CheckedSheet, natural, query_list, query_list_csv};
    use dyebook_documents::{Check, Severity, Where};

    fn check(severity: Severity, message: &str) -> Check {
        Check {
            check: "front-tilt".into(),
            severity,
            place: Where::lane("1", 2),
            message: message.into(),
            alternatives: vec!["a misread front, or two".into()],
        }
    }

    fn sheet<'a>(section: &'a str, group: &'a str, checks: &'a [Check]) -> CheckedSheet<'a> {
        CheckedSheet {
            sheet: "id",
            section: Some(section),
            group,
            date: None,
            checks,
        }
    }

    #[test]
    fn by_section_then_the_group_with_the_worst_finding_then_the_worst_finding() {
        let mild = [check(Severity::Info, "seen"), check(Severity::Ask, "b")];
        let bad = [check(Severity::Ask, "c"), check(Severity::Stop, "d")];
        let sheets = [
            sheet("Tue", "10", &mild),
            sheet("Tue", "2", &mild),
            sheet("Tue", "11", &bad),
            sheet("Mon", "9", &mild),
        ];
        let order: Vec<_> = query_list(&sheets, Severity::Ask)
            .into_iter()
            .map(|q| (q.section.unwrap(), q.group, q.severity))
            .collect();
        let expected = [
            ("Mon", "9", Severity::Ask),
            ("Tue", "11", Severity::Stop),
            ("Tue", "11", Severity::Ask),
            ("Tue", "2", Severity::Ask),
            ("Tue", "10", Severity::Ask),
        ];
        assert_eq!(
            order,
            expected.map(|(s, g, v)| (s.to_owned(), g.to_owned(), v))
        );
    }

    #[test]
    fn csv_has_a_line_a_query_and_quotes_what_needs_it() {
        let checks = [check(Severity::Warn, "fronts run from 8.0 cm to 8.6 cm")];
        let csv =
            query_list_csv(&query_list(&[sheet("Tue", "4", &checks)], Severity::Ask)).unwrap();
        let lines: Vec<&str> = csv.lines().collect();
        assert_eq!(lines.len(), 2);
        assert!(lines[1].contains("\"paper 1, lane 2: fronts run from 8.0 cm to 8.6 cm (perhaps a misread front, or two).\""), "{csv}");
    }

    #[test]
    fn numbers_in_names_sort_as_numbers() {
        assert!(natural("G2") < natural("G10") && natural("a1b2") < natural("a1b10"));
        assert!(natural("") < natural("1"));
    }
}
