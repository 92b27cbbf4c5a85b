//! The sections of a data sheet's report, one a file.

use crate::page::Section;
use crate::sheet_report::SheetReport;

mod at_a_glance;
mod cautions;
mod checks;
mod history;
mod meaning;
mod method;
mod papers;
mod samples;
mod standards;

/// A section of the report; `None` where it has nothing to say.
pub(crate) type SheetSection = fn(&SheetReport<'_>) -> Option<Section>;

/// All sections, in the order of the page.
pub(crate) const SHEET_SECTIONS: &[SheetSection] = &[
    at_a_glance::section,
    checks::section,
    papers::section,
    samples::section,
    standards::section,
    method::section,
    cautions::section,
    meaning::section,
    history::section,
];
