//! A 1:1 template to lie under the paper while the start line and lanes are marked.

use crate::drawings::template_drawing::{FOOT, MARGIN, template_drawing};
use crate::pdf::pdf;
use crate::words::decimals;

/// Where things stand on the paper, in mm from its lower left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperTemplate {
    /// `id@version`.
    pub method: String,
    /// Width of the paper.
    pub width_mm: f64,
    /// Height of the paper.
    pub height_mm: f64,
    /// Start line above the lower edge.
    pub baseline_mm: f64,
    /// Where the front is to be stopped, above the lower edge.
    pub stop_mm: Option<f64>,
    /// Folds, from the left edge.
    pub folds_mm: Vec<f64>,
    /// Lanes.
    pub lanes: Vec<TemplateLane>,
    /// Whether the data is invented.
    pub demo: bool,
}

impl PaperTemplate {
    /// Whether the sheet with its margins is larger than A4 (210 by 297 mm, ISO 216) lets a usual
    /// printer fill: 5 mm stay free at each edge (common practice, no source).
    pub(crate) fn needs_more_than_a4(&self) -> bool {
        let (width, height) = (self.width_mm + 2.0 * MARGIN, self.height_mm + MARGIN + FOOT);
        let fits = |across: f64, up: f64| across <= 200.0 && up <= 287.0;
        !fits(width, height) && !fits(height, width)
    }
}

/// One lane.
#[derive(Debug, Clone, PartialEq)]
pub struct TemplateLane {
    /// Lane number.
    pub number: u32,
    /// What is to be spotted; may be empty.
    pub label: String,
    /// From the left edge.
    pub x_mm: f64,
}

/// The template as an SVG file in mm.
pub fn paper_template(template: &PaperTemplate) -> String {
    let (drawing, width_mm, height_mm) = template_drawing(template);
    drawing.standalone(width_mm, height_mm)
}

/// The template as a PDF file of one page at true size.
pub fn paper_template_pdf(template: &PaperTemplate) -> Vec<u8> {
    let (drawing, width_mm, height_mm) = template_drawing(template);
    pdf(&drawing, width_mm, height_mm)
}

/// The template in words.
pub fn paper_template_text(template: &PaperTemplate) -> String {
    let mm = |value: f64| format!("{} mm", decimals(value, 1));
    let mut lines = vec![
        format!("Paper template for {}", template.method),
        format!(
            "Cut the paper {} wide and {} high.",
            mm(template.width_mm),
            mm(template.height_mm)
        ),
        format!(
            "Draw the start line in pencil, {} above the lower edge.",
            mm(template.baseline_mm)
        ),
    ];
    if let Some(stop) = template.stop_mm {
        lines.push(format!(
            "Stop when the front is {} above the lower edge, {} from the start line.",
            mm(stop),
            mm(stop - template.baseline_mm)
        ));
    }
    for fold in &template.folds_mm {
        lines.push(format!("Fold {} from the left edge.", mm(*fold)));
    }
    for lane in &template.lanes {
        let label = if lane.label.is_empty() {
            String::new()
        } else {
            format!(": {}", lane.label)
        };
        lines.push(format!(
            "Lane {} stands {} from the left edge{label}.",
            lane.number,
            mm(lane.x_mm)
        ));
    }
    lines.push(
        "The printed template lies under the paper, not on it: never print on the \
         chromatography paper, as ink runs."
            .to_owned(),
    );
    if template.needs_more_than_a4() {
        lines.push(
            "It is larger than A4: print it on larger paper or in parts, at 100 %.".to_owned(),
        );
    }
    lines.push(
        "Check the scale bar with a ruler before use; if it is off, print again at 100 %."
            .to_owned(),
    );
    lines.join("\n") + "\n"
}
