//! All checks over one sheet.

use crate::checks::ENTRY_CHECKS;
use crate::context::Context;
use crate::sheet_view::SheetView;
use dyebook_documents::Check;

/// What all checks find, worst first, then by place on the sheet.
pub fn run_checks(context: &Context<'_>) -> Vec<Check> {
    let sheet = SheetView::new(context);
    let mut found: Vec<Check> = ENTRY_CHECKS
        .iter()
        .flat_map(|check| check.run_on(&sheet))
        .collect();
    let papers = &context.evaluated.papers;
    // `None` sorts first: what concerns the whole sheet comes before its papers.
    let paper = |check: &Check| {
        let name = check.place.paper.as_ref()?;
        papers.iter().position(|paper| paper == name)
    };
    found.sort_by(|a, b| {
        (b.severity.cmp(&a.severity))
            .then_with(|| paper(a).cmp(&paper(b)))
            .then_with(|| a.place.cmp(&b.place))
            .then_with(|| a.check.cmp(&b.check))
    });
    found
}
