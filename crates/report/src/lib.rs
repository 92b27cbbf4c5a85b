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

mod drawings;
mod page;
mod palette;
mod parts;
mod sections;
mod sheet_report;
mod svg;
mod words;

pub use sheet_report::{HistoryLine, ReportSpot, SheetReport, sheet_report};
