//! The method's cautions.

use crate::page::Section;
use crate::parts::cautions_list::CautionsList;
use crate::sheet_report::SheetReport;

pub(super) fn section(report: &SheetReport<'_>) -> Option<Section> {
    let cautions = report.method.cautions.as_deref().unwrap_or_default();
    let heading = "Cautions of the method";
    (!cautions.is_empty()).then(|| Section::new("cautions", heading, &CautionsList { cautions }))
}
