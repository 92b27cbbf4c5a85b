//! What the entry checks saw, worst first.

use crate::page::{Section, rendered};
use crate::parts::check_list::CheckList;
use crate::sheet_report::SheetReport;
use crate::words::{WORST_FIRST, capital, severity_meaning};
use askama::Template;

#[derive(Template)]
#[template(
    ext = "html",
    source = r"<p>Nothing was corrected: each sentence names what looks wrong, and a person decides.</p>
{% for group in groups %}<h3>{{ group.0 }}</h3>
{{ group.1|safe }}{% endfor %}"
)]
struct Checks {
    groups: Vec<(String, String)>,
}

pub(super) fn section(report: &SheetReport<'_>) -> Option<Section> {
    let groups: Vec<(String, String)> = WORST_FIRST
        .iter()
        .filter_map(|&severity| {
            let list = CheckList::of(report.checks, severity)?;
            let heading = format!(
                "{} ({}): {}",
                capital(severity.word()),
                list.len(),
                severity_meaning(severity)
            );
            Some((heading, rendered(&list)))
        })
        .collect();
    if groups.is_empty() {
        return None;
    }
    Some(Section::new("checks", "Entry checks", &Checks { groups }))
}
