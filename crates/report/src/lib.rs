//! Documents to self-contained HTML and SVG: functions from data to text, without I/O.
//!
//! Every HTML document is one file with its style and drawings inside, without script and without
//! anything fetched from elsewhere. It reads without colour (labels, hatching and shapes carry
//! what tints repeat), by a screen reader (each drawing has a title, a description and its table)
//! and on A4 paper, where each page repeats the versions it rests on.
//!
//! A page is a list of sections ([`sheet_report`] lists its own in `sections/mod.rs`), a drawing
//! is a figure's plain data turned into a [`svg`] drawing.
//!
//! [`svg`]: https://www.w3.org/TR/SVG2/

mod documents;
mod drawings;
mod page;
mod palette;
mod parts;
mod pdf;
mod sections;
mod sheet_report;
mod svg;
mod words;

pub use documents::batch_record::{BatchLine, BatchRecord, batch_record};
pub use documents::bottle_label::{BottleLabel, bottle_label};
pub use documents::class_figures::{ClassPage, ClassVersionPage, DecisionLine, class_page};
pub use documents::control_chart::{
    ChartPoint, ChartSegment, ControlChart, control_chart, control_chart_svg, control_chart_text,
};
pub use documents::notice::{HandoutLine, Notice, notice};
pub use documents::paper_template::{
    PaperTemplate, TemplateLane, paper_template, paper_template_pdf, paper_template_text,
};
pub use documents::query_list::{QueryGroup, QueryList, QuerySection, query_list};
pub use documents::reference_sheet::{
    ExcludedSpot, MorePapers, NumberOrigin, PaperSpots, ReferencePage, ReferenceSheet,
    SessionSpots, reference_sheet,
};
pub use documents::solvent_comparison::{
    ComparedMethod, DyeShift, MeasureLine, PairLine, SolventComparison, solvent_comparison,
};
pub use documents::strategy_comparison::{
    CalibrationBin, CalibrationSeries, DifferenceLine, RateLine, StrategyComparison,
    VersionComparison, strategy_comparison,
};
pub use documents::suitability_slip::{SlipLine, SlipVerdict, SuitabilitySlip, suitability_slip};
pub use parts::composition::component_words;
pub use sheet_report::{HistoryLine, ReportSpot, SheetReport, sheet_report};
