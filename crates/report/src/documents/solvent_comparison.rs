//! Two developing solvents beside each other: which pairs separate where.

use crate::drawings::slope_chart::slope_chart;
use crate::page::{Fact, Page};
use crate::parts::body::{Body, Table};
use crate::words::{list_with, signed};
use dyebook_documents::show_rf;

/// The comparison of two method versions.
#[derive(Debug, Clone, PartialEq)]
pub struct SolventComparison {
    /// The first.
    pub a: ComparedMethod,
    /// The second.
    pub b: ComparedMethod,
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

/// One of the two.
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

/// Where one dye runs in both.
#[derive(Debug, Clone, PartialEq)]
pub struct DyeShift {
    /// Name.
    pub dye: String,
    /// Its colour words.
    pub colours: String,
    /// Assigned Rf in the first.
    pub a: Option<f64>,
    /// Assigned Rf in the second.
    pub b: Option<f64>,
}

/// One pair of dyes in both; numbers as text, with units or signs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PairLine {
    /// Both names.
    pub pair: String,
    /// Gap in the first.
    pub gap_a: String,
    /// Probability of confusing them in the first.
    pub risk_a: String,
    /// Gap in the second.
    pub gap_b: String,
    /// Probability of confusing them in the second.
    pub risk_b: String,
    /// Like colours, listed as critical, and so on.
    pub note: String,
}

/// One measure of the whole set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeasureLine {
    /// Name.
    pub name: String,
    /// In the first.
    pub a: String,
    /// In the second.
    pub b: String,
    /// What it means, and which is better.
    pub meaning: String,
}

/// The comparison as a page.
pub fn solvent_comparison(comparison: &SolventComparison) -> String {
    let (a, b) = (&comparison.a, &comparison.b);
    let stamp = format!(
        "{} digest {} against {} digest {}",
        a.method,
        short(&a.digest),
        b.method,
        short(&b.digest)
    );
    let mut sections = vec![
        summary(comparison).section("critical-pairs", "Critical pairs"),
        chart(comparison).section("shift", "Where each dye runs"),
    ];
    if !comparison.measures.is_empty() {
        sections.push(measures(comparison).section("measures", "Measures of the whole set"));
    }
    Page {
        kicker: "Comparison of developing solvents".to_owned(),
        heading: format!("{} and {}", a.method, b.method),
        marks: vec![],
        demo: comparison.demo,
        facts: [("A", a), ("B", b)]
            .into_iter()
            .flat_map(|(letter, method)| {
                [
                    Fact::new(letter, format!("{} ({})", method.method, method.state)),
                    Fact::new(
                        &format!("Developing solvent {letter}"),
                        list_with(&method.composition, "and"),
                    ),
                    Fact::code(&format!("Digest {letter}"), method.digest.as_str()),
                ]
            })
            .collect(),
        sections,
        stamp,
        program: comparison.program.clone(),
    }
    .html()
}

fn short(digest: &str) -> &str {
    digest.get(..12).unwrap_or(digest)
}

fn summary(comparison: &SolventComparison) -> Body {
    let mut body = Body::default();
    for note in &comparison.notes {
        body = body.note(note);
    }
    let head = &[
        "Pair",
        "Gap in A",
        "Risk in A",
        "Gap in B",
        "Risk in B",
        "Note",
    ];
    let table = Table::new("Pairs that lie close in A or B", head).rows(
        comparison.pairs.iter().map(|pair| {
            vec![
                pair.pair.clone(),
                pair.gap_a.clone(),
                pair.risk_a.clone(),
                pair.gap_b.clone(),
                pair.risk_b.clone(),
                pair.note.clone(),
            ]
        }),
    );
    body = body.list(&comparison.sentences);
    if comparison.pairs.is_empty() {
        return body.paragraph("No pair lies close in either.");
    }
    body.paragraph("Risk is the probability of taking one dye of the pair for the other.")
        .table(&table)
}

fn chart(comparison: &SolventComparison) -> Body {
    let rf = |value: Option<f64>| value.map_or_else(|| "not measured".to_owned(), show_rf);
    let table = Table::new(
        "Assigned Rf in both",
        &["Dye", "Colours", "Rf in A", "Rf in B", "B minus A"],
    )
    .rows(comparison.dyes.iter().map(|dye| {
        let shift = dye.a.zip(dye.b).map(|(a, b)| signed(b - a, 2));
        vec![
            dye.dye.clone(),
            dye.colours.clone(),
            rf(dye.a),
            rf(dye.b),
            shift.unwrap_or_else(|| "not known".to_owned()),
        ]
    }));
    Body::default()
        .figure(
            &slope_chart(comparison),
            "Each line is a dye, from its Rf in A at the left to its Rf in B at the right. Lines \
             that cross are dyes whose order is reversed.",
        )
        .table(&table)
}

fn measures(comparison: &SolventComparison) -> Body {
    Body::default().table(
        &Table::new("Measures", &["Measure", "A", "B", "What it means"]).rows(
            comparison
                .measures
                .iter()
                .map(|m| vec![m.name.clone(), m.a.clone(), m.b.clone(), m.meaning.clone()]),
        ),
    )
}
