//! Drawings, one a file: a figure's plain data in, an SVG drawing out.

use crate::svg::Drawing;

pub(crate) mod axis;
pub(crate) mod calibration_plot;
pub(crate) mod chart_drawing;
pub(crate) mod hatch;
pub(crate) mod marker;
pub(crate) mod paper;
pub(crate) mod reference_plot;
pub(crate) mod slope_chart;
pub(crate) mod spread;
pub(crate) mod template_drawing;

/// Widest drawing; as wide as the page's text.
pub(crate) const FULL_WIDTH: f64 = 1000.0;

/// The share of the page's width that a drawing takes, so that all have letters of one size.
pub(crate) fn share_of_page(drawing: &Drawing) -> f64 {
    (drawing.width / FULL_WIDTH * 100.0).min(100.0)
}
