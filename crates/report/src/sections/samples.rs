//! What the samples were found to be.

use crate::page::{Section, rendered};
use crate::parts::identity_table::IdentityTable;
use crate::sheet_report::SheetReport;
use askama::Template;
use dyebook_documents::{ROUNDING_RULE, Role};

/// Tables of identities, one a paper, with a sentence before them.
#[derive(Template)]
#[template(
    ext = "html",
    source = r#"<p class="lead">{{ lead }} Rf is {{ rounding }}; values are compared and kept at full precision. u is the standard uncertainty of Rf from reading the ruler.</p>
{% for table in tables %}{{ table|safe }}{% endfor %}"#
)]
pub(super) struct Identities {
    lead: &'static str,
    rounding: &'static str,
    tables: Vec<String>,
}

impl Identities {
    /// One table for each paper that has lanes of these roles; `None` where none has.
    pub(super) fn of(report: &SheetReport<'_>, roles: &[Role], lead: &'static str) -> Option<Self> {
        let tables: Vec<String> = report
            .sheet
            .papers()
            .into_iter()
            .filter_map(|paper| IdentityTable::of(report, paper, roles))
            .map(|table| rendered(&table))
            .collect();
        (!tables.is_empty()).then_some(Self {
            lead,
            rounding: ROUNDING_RULE,
            tables,
        })
    }
}

pub(super) fn section(report: &SheetReport<'_>) -> Option<Section> {
    let body = Identities::of(
        report,
        &[Role::Sample],
        "Each spot of each sample, with every candidate that stands.",
    )?;
    Some(Section::new("samples", "Samples", &body))
}
