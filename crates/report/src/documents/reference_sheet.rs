//! The sheet of a reference set: every number with its origin, and each session's spots.

use crate::drawings::reference_plot::reference_plot;
use crate::page::{Fact, Page, Section};
use crate::parts::body::{Body, Table};
use crate::words::{decimals, range, rf_with_u};
use dyebook_documents::{ROUNDING_RULE, Range};

/// The references of one method version with what stands behind them.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceSheet {
    /// `id@version`.
    pub method: String,
    /// State of that version.
    pub state: String,
    /// Its content digest.
    pub digest: String,
    /// How the numbers were got, in sentences: formulas, pooling, defaults.
    pub how: Vec<String>,
    /// One a dye.
    pub references: Vec<ReferencePage>,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

/// What stands behind the reference of one dye.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferencePage {
    /// Name of the dye.
    pub dye: String,
    /// Assigned Rf.
    pub assigned_rf: Option<f64>,
    /// Standard uncertainty of the assigned Rf, where known.
    pub assigned_u: Option<f64>,
    /// Expected range of a spot in a new session.
    pub expected: Range,
    /// Below the lab's own minimum of papers and sessions.
    pub provisional: bool,
    /// Colours seen and by how many.
    pub colours: Vec<(String, u32)>,
    /// How the dye behaves, in words.
    pub behaviour: String,
    /// Each number with where it is from.
    pub numbers: Vec<NumberOrigin>,
    /// The spots, by session.
    pub sessions: Vec<SessionSpots>,
    /// Spots that were left out, each by a person with a reason.
    pub excluded: Vec<ExcludedSpot>,
    /// What more papers would buy.
    pub more_papers: Vec<MorePapers>,
}

/// A number with its origin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NumberOrigin {
    /// What it is, e.g. `SD between sessions`.
    pub name: String,
    /// The number as text.
    pub value: String,
    /// Which sheets, which formula.
    pub from: String,
}

/// The spots of one session.
#[derive(Debug, Clone, PartialEq)]
pub struct SessionSpots {
    /// Section and day.
    pub session: String,
    /// Rf of each spot, by paper.
    pub papers: Vec<PaperSpots>,
}

/// The spots of one paper.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperSpots {
    /// Paper, with its sheet where that helps.
    pub paper: String,
    /// Rf of each spot.
    pub rf: Vec<f64>,
}

/// A spot that was left out.
#[derive(Debug, Clone, PartialEq)]
pub struct ExcludedSpot {
    /// Session, as in `sessions`.
    pub session: String,
    /// Sheet, paper, lane, spot in words.
    pub place: String,
    /// Its Rf.
    pub rf: f64,
    /// Why.
    pub why: String,
    /// Who and when.
    pub by: String,
}

/// What more papers would buy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MorePapers {
    /// The design in words, e.g. `3 papers more, one each in 3 new sessions`.
    pub design: String,
    /// The range that it would give, in words.
    pub range: String,
}

impl SessionSpots {
    /// All spots of the session.
    pub(crate) fn rf(&self) -> Vec<f64> {
        self.papers
            .iter()
            .flat_map(|paper| paper.rf.iter().copied())
            .collect()
    }

    fn mean(&self) -> Option<f64> {
        mean(&self.rf())
    }
}

/// The mean of some values.
pub(crate) fn mean(values: &[f64]) -> Option<f64> {
    #[expect(
        clippy::cast_precision_loss,
        reason = "a session has far fewer spots than 2^52"
    )]
    let n = values.len() as f64;
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / n)
}

/// The sheet as a page.
pub fn reference_sheet(sheet: &ReferenceSheet) -> String {
    let mut sections = vec![overview(sheet)];
    sections.extend(sheet.references.iter().enumerate().map(dye_section));
    Page {
        kicker: "Reference sheet".to_owned(),
        heading: format!("Reference set of {}", sheet.method),
        marks: vec![],
        demo: sheet.demo,
        facts: vec![
            Fact::new(
                "Method version",
                format!("{} ({})", sheet.method, sheet.state),
            ),
            Fact::code("Method digest", sheet.digest.as_str()),
        ],
        sections,
        stamp: format!(
            "Reference set of {} ({}) digest {}",
            sheet.method,
            sheet.state,
            sheet.digest.get(..12).unwrap_or(&sheet.digest)
        ),
        program: sheet.program.clone(),
    }
    .html()
}

fn overview(sheet: &ReferenceSheet) -> Section {
    let table = Table::new(
        "All dyes",
        &[
            "Dye",
            "Assigned Rf",
            "Expected Rf",
            "Sessions",
            "Papers",
            "Spots",
            "Standing",
        ],
    )
    .rows(sheet.references.iter().map(|page| {
        let papers: usize = page.sessions.iter().map(|s| s.papers.len()).sum();
        let spots: usize = page.sessions.iter().map(|s| s.rf().len()).sum();
        vec![
            page.dye.clone(),
            assigned(page),
            range(page.expected),
            page.sessions.len().to_string(),
            papers.to_string(),
            spots.to_string(),
            standing(page).to_owned(),
        ]
    }));
    Body::default()
        .paragraph(&format!(
            "The expected range is for one spot in a new session. Rf is {ROUNDING_RULE}, \
             single spots and means at three."
        ))
        .list(&sheet.how)
        .table(&table)
        .section("overview", "Overview")
}

fn assigned(page: &ReferencePage) -> String {
    page.assigned_rf
        .map_or_else(|| "none".to_owned(), |rf| rf_with_u(rf, page.assigned_u))
}

fn standing(page: &ReferencePage) -> &'static str {
    if page.provisional {
        "provisional: below the lab's own minimum"
    } else {
        "meets the lab's own minimum"
    }
}

fn dye_section((index, page): (usize, &ReferencePage)) -> Section {
    let colours: Vec<String> = page
        .colours
        .iter()
        .map(|(word, n)| format!("{word} ({n})"))
        .collect();
    let mut facts = vec![
        Fact::new("Assigned Rf", assigned(page)),
        Fact::new("Expected Rf", range(page.expected)),
        Fact::new("Standing", standing(page)),
        Fact::new("Colours seen", colours.join(", ")),
    ];
    if !page.behaviour.is_empty() {
        facts.push(Fact::new("Behaviour", page.behaviour.as_str()));
    }
    let numbers = Table::new(
        "Numbers and where they are from",
        &["Number", "Value", "From"],
    )
    .rows(
        page.numbers
            .iter()
            .map(|n| vec![n.name.clone(), n.value.clone(), n.from.clone()]),
    );
    let mut body = Body::default().facts(&facts);
    if !page.sessions.is_empty() {
        body = body
            .figure(&reference_plot(index, page), PLOT_CAPTION)
            .table(&spots_table(page));
    }
    body = body.table(&numbers);
    if !page.excluded.is_empty() {
        let head = &["Spot", "Rf", "Session", "Why", "By"];
        body = body.table(&Table::new("Left out of the value", head).rows(
            page.excluded.iter().map(|spot| {
                vec![
                    spot.place.clone(),
                    decimals(spot.rf, 3),
                    spot.session.clone(),
                    spot.why.clone(),
                    spot.by.clone(),
                ]
            }),
        ));
    }
    if !page.more_papers.is_empty() {
        body = body.table(
            &Table::new("What more papers would buy", &["Design", "Expected range"]).rows(
                page.more_papers
                    .iter()
                    .map(|more| vec![more.design.clone(), more.range.clone()]),
            ),
        );
    }
    body.section(&format!("dye-{}", index + 1), &page.dye)
}

const PLOT_CAPTION: &str = "Each session's spots, one line a session; the papers of a session \
     differ in shape (circle, square, triangle, diamond in turn). The upright stroke is the \
     session's mean. The hatched band is the expected range, the line in it the assigned Rf. A \
     cross is a spot that was left out.";

fn spots_table(page: &ReferencePage) -> Table {
    let rows = page.sessions.iter().flat_map(|session| {
        let mean = session.mean().map_or_else(String::new, |m| decimals(m, 3));
        session.papers.iter().map(move |paper| {
            let values: Vec<String> = paper.rf.iter().map(|rf| decimals(*rf, 3)).collect();
            vec![
                session.session.clone(),
                paper.paper.clone(),
                values.join(", "),
                mean.clone(),
            ]
        })
    });
    Table::new(
        "Spots by session and paper",
        &["Session", "Paper", "Rf of its spots", "Mean of the session"],
    )
    .rows(rows)
}
