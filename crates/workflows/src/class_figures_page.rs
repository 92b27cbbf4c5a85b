//! Class figures as a page and as CSV.

use crate::class_figures::{ClassFigures, ClassVersion, StandardSpread, Tally};
use crate::failure::{Failure, FailureClass};
use crate::strategy_compare_page::sentence;
use crate::strategy_compare_words::share_words;
use dyebook_checks::as_text;
use dyebook_documents::{counted, show_rf};
use dyebook_report::{ClassPage, ClassVersionPage, DecisionLine, class_page};

/// The figures as a page.
pub fn class_figures_page(class: &ClassFigures) -> String {
    class_page(&ClassPage {
        covers: class.covers.clone(),
        strategy: format!("{} {}", class.strategy.id, class.strategy.version),
        versions: class.versions.iter().map(version_page).collect(),
        notes: class.notes.iter().map(|note| sentence(note)).collect(),
        demo: class.demo,
        program: format!("dyebook {}", env!("CARGO_PKG_VERSION")),
    })
}

fn version_page(version: &ClassVersion) -> ClassVersionPage {
    ClassVersionPage {
        method: version.method.clone(),
        covers: format!("From {}.", counted(version.sheets, "sheet")),
        decisions: class_decisions(version),
        identities: version
            .identities
            .iter()
            .map(|one| {
                [
                    section_words(one.section.as_deref()),
                    one.verdict.clone(),
                    one.spots.to_string(),
                    one.groups.to_string(),
                ]
            })
            .collect(),
        standards: version.standards.iter().map(standard_cells).collect(),
        left_out: standards_left_out(version).unwrap_or_default(),
    }
}

/// The decisions of the whole class, then section by section, each with its groups.
pub fn class_decisions(version: &ClassVersion) -> Vec<DecisionLine> {
    let mut lines = vec![decision_line("all", &version.all)];
    for section in &version.sections {
        let name = section_words(section.section.as_deref());
        lines.push(decision_line(&name, &section.tally));
        for group in &section.groups {
            let who = format!("{name}, {} ({})", group.group, group.sheet);
            lines.push(decision_line(&who, &group.tally));
        }
    }
    lines
}

fn decision_line(who: &str, tally: &Tally) -> DecisionLine {
    let of = |part| share_words(part, tally.spots);
    let judged = |part| match tally.judged {
        0 => "not recorded".to_owned(),
        whole => share_words(part, whole),
    };
    DecisionLine {
        who: who.to_owned(),
        spots: tally.spots.to_string(),
        decided: of(tally.decided),
        undecided: of(tally.undecided),
        not_in_set: of(tally.not_in_set),
        not_evaluable: of(tally.not_evaluable),
        right: judged(tally.right),
        wrong: judged(tally.wrong),
    }
}

/// A section's name, in words where it has none.
pub fn section_words(section: Option<&str>) -> String {
    section.unwrap_or("no section").to_owned()
}

/// Dye, spots, sheets, median, robust SD, seen, expected, outside: as text.
pub fn standard_cells(one: &StandardSpread) -> [String; 8] {
    let range = |low, high| format!("{} to {}", show_rf(low), show_rf(high));
    let expected = one.expected.map(|r| range(r.low, r.high));
    let or = |text: Option<String>, none: &str| text.unwrap_or_else(|| none.to_owned());
    [
        one.name.clone(),
        one.spots.to_string(),
        one.sheets.to_string(),
        format!("{:.3}", one.median),
        or(one.robust_sd.map(|sd| format!("{sd:.3}")), "one spot"),
        range(one.seen.low, one.seen.high),
        or(expected, "not in the set"),
        or(one.outside.map(|n| n.to_string()), "-"),
    ]
}

/// How many spots of dye standards were left out, and where the reasons stand.
pub fn standards_left_out(version: &ClassVersion) -> Option<String> {
    (version.standards_left_out > 0).then(|| {
        format!(
            "Left out: {} of dye standards, as `reference establish` leaves them out (expected \
             minor spots, stop checks, spots that a person excluded).",
            counted(version.standards_left_out, "spot")
        )
    })
}

/// The counts as CSV, one row for each group, else for each section.
///
/// # Errors
/// What writing CSV says.
pub fn class_figures_csv(class: &ClassFigures) -> Result<String, Failure> {
    csv_of(class).map_err(|error| {
        Failure::new(
            FailureClass::Bug,
            "report.csv",
            format!("the class figures can't be written as CSV: {error}"),
        )
    })
}

fn csv_of(class: &ClassFigures) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(vec![]);
    writer.write_record([
        "method",
        "section",
        "group",
        "sheet",
        "spots",
        "decided",
        "undecided",
        "not in reference set",
        "not evaluable",
        "judged",
        "right",
        "wrong",
    ])?;
    for version in &class.versions {
        for section in &version.sections {
            let name = as_text(section.section.as_deref().unwrap_or_default());
            let mut row = |group: &str, sheet: &str, tally: &Tally| {
                let mut cells = vec![
                    version.method.clone(),
                    name.clone(),
                    as_text(group),
                    sheet.to_owned(),
                ];
                cells.extend(numbers(tally).map(|number| number.to_string()));
                writer.write_record(cells)
            };
            if section.groups.is_empty() {
                row("", "", &section.tally)?;
            }
            for group in &section.groups {
                row(&group.group, &group.sheet, &group.tally)?;
            }
        }
    }
    let bytes = writer
        .into_inner()
        .map_err(csv::IntoInnerError::into_error)?;
    // Every field was valid text.
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn numbers(tally: &Tally) -> [usize; 8] {
    [
        tally.spots,
        tally.decided,
        tally.undecided,
        tally.not_in_set,
        tally.not_evaluable,
        tally.judged,
        tally.right,
        tally.wrong,
    ]
}
