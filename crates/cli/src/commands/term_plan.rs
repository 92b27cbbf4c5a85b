//! `term plan`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_methods::composition::digits;
use dyebook_methods::term_plan::{Quantity, Section, Term};
use dyebook_workflows::{Failure, PlannedTerm, plan_terms, read_term, term_of_method, write_file};
use serde_json::json;
use std::path::PathBuf;

/// How much a term needs, and what changes with another section.
#[derive(Debug, clap::Args)]
pub(crate) struct TermPlanCommand {
    /// How many sections, each of the same size
    #[arg(long, value_name = "N", requires = "groups", conflicts_with_all = ["section", "file"])]
    sections: Option<u32>,
    /// Groups in each of them, all full
    #[arg(long, value_name = "N", requires = "sections")]
    groups: Option<u32>,
    /// A section with its number of students
    #[arg(long, value_name = "NAME=STUDENTS", conflicts_with = "file")]
    section: Vec<String>,
    /// A term that was saved
    #[arg(long, value_name = "FILE")]
    file: Option<PathBuf>,
    /// Another section; what changes by it is shown
    #[arg(long, value_name = "NAME=STUDENTS")]
    add: Vec<String>,
    /// Take lanes, liquid, dyes and the size of the paper from a method version
    #[arg(long, value_name = "REF")]
    method: Option<String>,
    /// Students in a group
    #[arg(long, value_name = "N")]
    group_size: Option<u32>,
    /// Papers of each group
    #[arg(long, value_name = "N")]
    papers: Option<u32>,
    /// Per cent of papers in reserve
    #[arg(long, value_name = "PERCENT")]
    spare: Option<f64>,
    /// Per cent of papers that are repeated
    #[arg(long, value_name = "PERCENT")]
    repeat: Option<f64>,
    /// The solvent is made in batches of this, mL
    #[arg(long, value_name = "ML")]
    batch: Option<f64>,
    /// Chambers that can stand at once
    #[arg(long, value_name = "N")]
    chambers: Option<u32>,
    /// Sheets that the papers are cut from, cm: 46x57
    #[arg(long, value_name = "WIDTHxHEIGHT")]
    sheet: Option<String>,
    /// Save the term, to be read back with --file
    #[arg(long, value_name = "FILE")]
    save: Option<PathBuf>,
}

impl TermPlanCommand {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let mut before = self.term()?;
        let added = self
            .add
            .iter()
            .map(|text| section(text))
            .collect::<Result<Vec<_>, _>>()?;
        let mut now = before.clone();
        now.sections.extend(added);
        if let Some(reference) = &self.method {
            let library = desk.open()?;
            term_of_method(&library, reference, &mut before)?;
            term_of_method(&library, reference, &mut now)?;
        }
        let planned = plan_terms((!self.add.is_empty()).then_some(&before), &now)?;
        let mut page = Page::default();
        text(&mut page, &planned);
        if let Some(file) = &self.save {
            write_file(file, format!("{:#}\n", json!(planned.plan.term)))?;
            page.line(format!("term in {}", file.display()));
        }
        Ok(Outcome::new(json!(planned), page.text()))
    }

    fn term(&self) -> Result<Term, Failure> {
        let mut term = match &self.file {
            Some(file) => read_term(file)?,
            None => Term::default(),
        };
        set(&mut term.group_size, self.group_size);
        set(&mut term.papers_per_group, self.papers);
        set(
            &mut term.spare_share,
            self.spare.map(|percent| percent / 100.0),
        );
        set(
            &mut term.repeat_share,
            self.repeat.map(|percent| percent / 100.0),
        );
        term.batch_ml = self.batch.or(term.batch_ml);
        term.chambers = self.chambers.or(term.chambers);
        if let Some(sheet) = &self.sheet {
            term.sheet_cm = Some(size(sheet)?);
        }
        if let (Some(sections), Some(groups)) = (self.sections, self.groups) {
            let students = groups.saturating_mul(term.group_size);
            // One more than a term may hold is enough to be refused by name.
            term.sections = (1..=sections.min(1001))
                .map(|number| Section {
                    name: number.to_string(),
                    students,
                    method: None,
                })
                .collect();
        }
        for text in &self.section {
            term.sections.push(section(text)?);
        }
        Ok(term)
    }
}

fn set<T>(place: &mut T, value: Option<T>) {
    if let Some(value) = value {
        *place = value;
    }
}

/// Reads `Tue-2=16`.
fn section(text: &str) -> Result<Section, Failure> {
    let read = text.split_once('=').and_then(|(name, students)| {
        Some(Section {
            name: name.trim().to_owned(),
            students: students.trim().parse().ok()?,
            method: None,
        })
    });
    read.filter(|section| !section.name.is_empty())
        .ok_or_else(|| {
            Failure::refused("term.not-a-section", format!("`{text}` names no section"))
                .hint("a name and its students: Tue-2=16")
        })
}

/// Reads `46x57`.
fn size(text: &str) -> Result<[f64; 2], Failure> {
    let read = text.split_once('x').and_then(|(width, height)| {
        let cm = |text: &str| {
            text.trim()
                .parse()
                .ok()
                .filter(|cm: &f64| cm.is_finite() && *cm > 0.0)
        };
        Some([cm(width)?, cm(height)?])
    });
    read.ok_or_else(|| {
        Failure::refused("term.not-a-size", format!("`{text}` is no size of a sheet"))
            .hint("width and height in cm: 46x57")
    })
}

fn text(page: &mut Page, planned: &PlannedTerm) {
    let mut table = Table::new(["what", "how much", "taken for granted"]);
    for quantity in &planned.plan.quantities {
        table.row([
            quantity.what.to_owned(),
            amount(quantity),
            quantity.how.clone(),
        ]);
    }
    page.table(&table);
    page.gap();
    let mut table = Table::new(["section", "groups", "papers", "fillings", "remark"]);
    for section in &planned.plan.sections {
        table.row([
            section.section.clone(),
            section.groups.to_string(),
            section.papers.to_string(),
            section.fillings.to_string(),
            match section.in_smaller_group {
                0 => String::new(),
                1 => "one group is a student alone".to_owned(),
                n => format!("one group has only {n} students"),
            },
        ]);
    }
    page.table(&table);
    if planned.before.is_some() {
        page.gap();
        page.line("What changes:");
        for change in &planned.changes {
            page.line(format!("  {}", change.sentence));
        }
        if planned.changes.is_empty() {
            page.line("  nothing");
        }
    }
}

/// `12 L`, `231`, `0.55 mL`.
fn amount(quantity: &Quantity) -> String {
    match quantity.unit {
        "" => format!("{}", quantity.value),
        "mL" if quantity.value >= 1000.0 => format!("{} L", digits(quantity.value / 1000.0)),
        unit => format!("{} {unit}", digits(quantity.value)),
    }
}
