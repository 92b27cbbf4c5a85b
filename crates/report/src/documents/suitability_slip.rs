//! Half a page to stick on the hood: may the class start?

use crate::page::{Fact, Page};
use crate::parts::body::{Body, Table};

/// The outcome of a suitability check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SuitabilitySlip {
    /// Data sheet that was judged.
    pub sheet: String,
    /// Section.
    pub section: String,
    /// Day, as text.
    pub date: String,
    /// `id@version`.
    pub method: String,
    /// Method digest.
    pub digest: String,
    /// Batch of developing solvent.
    pub batch: String,
    /// The verdict.
    pub verdict: SlipVerdict,
    /// What may not be done today, in sentences.
    pub restrictions: Vec<String>,
    /// What was looked at.
    pub lines: Vec<SlipLine>,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

/// May the class start?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SlipVerdict {
    /// It may.
    Go,
    /// It may, with restrictions.
    GoWithRestrictions,
    /// It may not.
    Stop,
}

impl SlipVerdict {
    /// The verdict in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Go => "Go",
            Self::GoWithRestrictions => "Go with restrictions",
            Self::Stop => "Stop",
        }
    }

    fn meaning(self) -> &'static str {
        match self {
            Self::Go => "Everything that was looked at keeps its limit: the class may start.",
            Self::GoWithRestrictions => {
                "The class may start; what stands below can't be relied on today."
            }
            Self::Stop => {
                "The class may not start with this paper and this developing solvent until a \
                 person has decided what to do."
            }
        }
    }
}

/// One thing that was looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SlipLine {
    /// What, e.g. `front tilt`.
    pub what: String,
    /// What was found, with its unit.
    pub value: String,
    /// The limit, from the method.
    pub limit: String,
    /// Whether it keeps the limit; `None` where it could not be judged.
    pub keeps: Option<bool>,
}

/// The slip as a page that prints on half of A4.
pub fn suitability_slip(slip: &SuitabilitySlip) -> String {
    let table = Table::new("What was looked at", &["What", "Found", "Limit", "Verdict"]).rows(
        slip.lines.iter().map(|line| {
            let verdict = match line.keeps {
                Some(true) => "keeps it",
                Some(false) => "does not keep it",
                None => "could not be judged",
            };
            vec![
                line.what.clone(),
                line.value.clone(),
                line.limit.clone(),
                verdict.to_owned(),
            ]
        }),
    );
    let body = Body::default()
        .paragraph(slip.verdict.meaning())
        .list(&slip.restrictions)
        .table(&table)
        .html("<p>Seen by (initials): ______________ Time: ______________</p>\n");
    Page {
        kicker: "Suitability before class".to_owned(),
        heading: slip.verdict.words().to_owned(),
        marks: vec![],
        demo: slip.demo,
        facts: vec![
            Fact::new(
                "Section and day",
                format!("{}, {}", slip.section, slip.date),
            ),
            Fact::new(
                "Method, batch",
                format!("{}, batch {}", slip.method, slip.batch),
            ),
        ],
        sections: vec![body.section("slip", "Controls and limits")],
        stamp: format!(
            "Suitability of {} · method {} digest {}",
            slip.sheet,
            slip.method,
            slip.digest.get(..12).unwrap_or(&slip.digest)
        ),
        program: slip.program.clone(),
    }
    .compact_html()
}
