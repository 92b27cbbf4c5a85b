//! Developing solvents beside each other: which pairs separate where.

use crate::drawings::slope_chart::slope_chart;
use crate::page::{Fact, Page};
use crate::parts::body::{Body, Table};
use crate::words::{list_with, signed};
use dyebook_documents::show_rf;

/// The comparison of method versions, which the page calls A, B, C and so on.
#[derive(Debug, Clone, PartialEq)]
pub struct SolventComparison {
    /// The versions, two or more.
    pub methods: Vec<ComparedMethod>,
    /// One a dye.
    pub dyes: Vec<DyeShift>,
    /// Critical pairs in sentences, worst first.
    pub sentences: Vec<String>,
    /// Pairs with their numbers.
    pub pairs: Vec<PairLine>,
    /// Measures of the whole set.
    pub measures: Vec<MeasureLine>,
    /// What must be known with it: what is predicted, what is missing.
    pub notes: Vec<String>,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

/// One of the versions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ComparedMethod {
    /// `id@version`.
    pub method: String,
    /// State.
    pub state: String,
    /// Content digest.
    pub digest: String,
    /// Components in words.
    pub composition: Vec<String>,
}

/// Where one dye runs.
#[derive(Debug, Clone, PartialEq)]
pub struct DyeShift {
    /// Name.
    pub dye: String,
    /// Its colour words.
    pub colours: String,
    /// Assigned Rf in each version, in their order.
    pub rf: Vec<Option<f64>>,
}

/// One pair of dyes; numbers as text, with units or signs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PairLine {
    /// Both names.
    pub pair: String,
    /// In each version: the gap, and the probability of confusing them.
    pub gaps: Vec<[String; 2]>,
    /// Like colours, listed as critical, and so on.
    pub note: String,
}

/// One measure of the whole set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeasureLine {
    /// Name.
    pub name: String,
    /// In each version.
    pub values: Vec<String>,
    /// What it means, and which is better.
    pub meaning: String,
}

/// What the page calls a version: `A` for the first. Behind `Z` it is the number.
pub(crate) fn letter(index: usize) -> String {
    u8::try_from(index)
        .ok()
        .filter(|index| *index < 26)
        .map_or_else(
            || (index + 1).to_string(),
            |index| char::from(b'A' + index).to_string(),
        )
}

fn letters(comparison: &SolventComparison) -> Vec<String> {
    (0..comparison.methods.len()).map(letter).collect()
}

/// The comparison as a page.
pub fn solvent_comparison(comparison: &SolventComparison) -> String {
    let methods = &comparison.methods;
    let stamps: Vec<String> = methods
        .iter()
        .map(|one| format!("{} digest {}", one.method, short(&one.digest)))
        .collect();
    let names: Vec<String> = methods.iter().map(|one| one.method.clone()).collect();
    let mut sections = vec![
        summary(comparison).section("critical-pairs", "Critical pairs"),
        chart(comparison).section("shift", "Where each dye runs"),
    ];
    if !comparison.measures.is_empty() {
        sections.push(measures(comparison).section("measures", "Measures of the whole set"));
    }
    Page {
        kicker: "Comparison of developing solvents".to_owned(),
        heading: list_with(&names, "and"),
        marks: vec![],
        demo: comparison.demo,
        facts: letters(comparison)
            .into_iter()
            .zip(methods)
            .flat_map(|(letter, method)| {
                [
                    Fact::new(&letter, format!("{} ({})", method.method, method.state)),
                    Fact::new(
                        &format!("Developing solvent {letter}"),
                        list_with(&method.composition, "and"),
                    ),
                    Fact::code(&format!("Digest {letter}"), method.digest.as_str()),
                ]
            })
            .collect(),
        sections,
        stamp: stamps.join(" against "),
        program: comparison.program.clone(),
    }
    .html()
}

fn short(digest: &str) -> &str {
    digest.get(..12).unwrap_or(digest)
}

/// A table whose columns between the first ones and the last are the versions'.
fn table(caption: &str, first: &[&str], versions: &[String], last: &[&str]) -> Table {
    let mut head = first.to_vec();
    head.extend(versions.iter().map(String::as_str));
    head.extend(last);
    Table::new(caption, &head)
}

fn summary(comparison: &SolventComparison) -> Body {
    let mut body = Body::default();
    for note in &comparison.notes {
        body = body.note(note);
    }
    let letters = letters(comparison);
    let columns: Vec<String> = letters
        .iter()
        .flat_map(|letter| [format!("Gap in {letter}"), format!("Risk in {letter}")])
        .collect();
    let caption = format!("Pairs that lie close in {}", list_with(&letters, "or"));
    let table =
        table(&caption, &["Pair"], &columns, &["Note"]).rows(comparison.pairs.iter().map(|pair| {
            let mut row = vec![pair.pair.clone()];
            row.extend(pair.gaps.iter().flatten().cloned());
            row.push(pair.note.clone());
            row
        }));
    body = body.list(&comparison.sentences);
    if comparison.pairs.is_empty() {
        return body.paragraph("No pair lies close in any.");
    }
    body.paragraph("Risk is the probability of taking one dye of the pair for the other.")
        .table(&table)
}

fn chart(comparison: &SolventComparison) -> Body {
    let rf = |value: &Option<f64>| value.map_or_else(|| "not measured".to_owned(), show_rf);
    let letters = letters(comparison);
    let columns: Vec<String> = letters.iter().map(|one| format!("Rf in {one}")).collect();
    let last = letters.last().cloned().unwrap_or_default();
    let shift = format!("{last} minus A");
    let table = table("Assigned Rf", &["Dye", "Colours"], &columns, &[&shift]).rows(
        comparison.dyes.iter().map(|dye| {
            let ends = dye
                .rf
                .first()
                .copied()
                .flatten()
                .zip(dye.rf.last().copied().flatten());
            let shift = ends.map(|(a, b)| signed(b - a, 2));
            let mut row = vec![dye.dye.clone(), dye.colours.clone()];
            row.extend(dye.rf.iter().map(rf));
            row.push(shift.unwrap_or_else(|| "not known".to_owned()));
            row
        }),
    );
    let caption = format!(
        "Each line is a dye, from its Rf in A at the left to its Rf in {last} at the right. Lines \
         that cross are dyes whose order is reversed."
    );
    Body::default()
        .figure(&slope_chart(comparison), &caption)
        .table(&table)
}

fn measures(comparison: &SolventComparison) -> Body {
    let table = table(
        "Measures",
        &["Measure"],
        &letters(comparison),
        &["What it means"],
    );
    Body::default().table(&table.rows(comparison.measures.iter().map(|m| {
        let mut row = vec![m.name.clone()];
        row.extend(m.values.iter().cloned());
        row.push(m.meaning.clone());
        row
    })))
}
