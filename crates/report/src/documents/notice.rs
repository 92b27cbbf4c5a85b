//! A dated notice of a change, with the table for the hand-out.

use crate::page::{Fact, Page};
use crate::parts::body::{Body, Table};
use crate::words::range;
use dyebook_documents::Range;

/// A change notice to sections.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// Day of the notice, as text.
    pub date: String,
    /// The version that ends, `id@version`.
    pub from: String,
    /// The version that begins, `id@version`.
    pub to: String,
    /// Digest of the version that begins.
    pub digest: String,
    /// From which session on, in a sentence.
    pub effective: String,
    /// What changes.
    pub changes: Vec<String>,
    /// Why.
    pub why: String,
    /// Whether values of both versions can be compared.
    pub comparable: bool,
    /// What to discard or put aside.
    pub discard: Vec<String>,
    /// Which section begins when: section and text.
    pub sections: Vec<(String, String)>,
    /// The table for the hand-out.
    pub table: Vec<HandoutLine>,
    /// Pairs that can't be told apart in the version that begins, in sentences.
    pub pairs: Vec<String>,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

/// One dye of the hand-out.
#[derive(Debug, Clone, PartialEq)]
pub struct HandoutLine {
    /// Name.
    pub dye: String,
    /// Expected range.
    pub expected: Range,
    /// Colour words.
    pub colours: String,
    /// Provisional, predicted, or a word on how it behaves.
    pub note: String,
}

/// The notice as a page; the hand-out's table begins a page of its own in print.
pub fn notice(notice: &Notice) -> String {
    let head = &["Dye", "Expected Rf", "Colour on paper", "Note"];
    let table = Table::new(&format!("Expected values of {}", notice.to), head).rows(
        notice.table.iter().map(|line| {
            vec![
                line.dye.clone(),
                range(line.expected),
                line.colours.clone(),
                line.note.clone(),
            ]
        }),
    );
    Page {
        kicker: format!("Change notice of {}", notice.date),
        heading: format!("{} follows {}", notice.to, notice.from),
        marks: vec![],
        demo: notice.demo,
        facts: vec![
            Fact::new("From when", notice.effective.as_str()),
            Fact::new("Ends", notice.from.as_str()),
            Fact::new("Begins", notice.to.as_str()),
            Fact::code("Digest", notice.digest.as_str()),
        ],
        sections: vec![
            change(notice).section("change", "What changes"),
            Body::default()
                .paragraph(&format!(
                    "Use this table with {} only. Write the version on every data sheet.",
                    notice.to
                ))
                .table(&table)
                .list(&notice.pairs)
                .section("hand-out", "Table for the hand-out"),
        ],
        stamp: format!(
            "Notice of {} · {} digest {}",
            notice.date,
            notice.to,
            notice.digest.get(..12).unwrap_or(&notice.digest)
        ),
        program: notice.program.clone(),
    }
    .html()
}

fn change(notice: &Notice) -> Body {
    let earlier = if notice.comparable {
        "Rf values of both versions can be compared, as the version rules say."
    } else {
        "Rf values measured earlier belong to the earlier version: they are not comparable with \
         the new ones, and they are not wrong. Keep them with their version."
    };
    let mut body = Body::default().list(&notice.changes);
    if !notice.why.is_empty() {
        body = body.subheading("Why").paragraph(&notice.why);
    }
    body = body.subheading("Your earlier values").paragraph(earlier);
    if !notice.discard.is_empty() {
        body = body
            .subheading("Put aside or discard")
            .list(&notice.discard)
            .paragraph("Where it goes is for the local rules to say.");
    }
    if notice.sections.is_empty() {
        return body;
    }
    let rows = notice
        .sections
        .iter()
        .map(|(s, when)| vec![s.clone(), when.clone()]);
    body.table(&Table::new("Sections", &["Section", "Begins with the new version"]).rows(rows))
}
