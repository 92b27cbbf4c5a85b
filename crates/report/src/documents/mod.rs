//! Documents beside the sheet report, one a file: plain data in, a page or a drawing out.

pub(crate) mod batch_record;
pub(crate) mod bottle_label;
pub(crate) mod class_figures;
pub(crate) mod control_chart;
pub(crate) mod notice;
pub(crate) mod paper_template;
pub(crate) mod query_list;
pub(crate) mod reference_sheet;
pub(crate) mod solvent_comparison;
pub(crate) mod strategy_comparison;
pub(crate) mod suitability_slip;
