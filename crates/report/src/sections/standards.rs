//! How the dye standards and bridging lanes came out.

use crate::page::Section;
use crate::sections::samples::Identities;
use crate::sheet_report::SheetReport;
use dyebook_documents::Role;

pub(super) fn section(report: &SheetReport<'_>) -> Option<Section> {
    let body = Identities::of(
        report,
        &[Role::Standard, Role::Bridging],
        "Lanes whose dye is known, judged like a sample: a dye standard that isn't found to be \
         what its label says calls for a look at the paper.",
    )?;
    Some(Section::new("standards", "Dye standards", &body))
}
