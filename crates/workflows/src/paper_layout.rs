//! Does the paper of a kept method version work, and what does its template look like?

use crate::failure::Failure;
use crate::resolve_method::resolve_method;
use dyebook_documents::{Digest, MethodState};
use dyebook_library::Library;
use dyebook_methods::layout::{LayoutAnswer, LayoutQuestion, TemplateGeometry, check_layout};
use dyebook_report::{PaperTemplate, TemplateLane, paper_template, paper_template_text};
use serde::Serialize;

/// The layout of a method version.
#[derive(Debug, Clone, Serialize)]
pub struct PaperLayout {
    /// Its state.
    pub state: MethodState,
    /// Its content digest.
    pub digest: Digest,
    /// What holds and what doesn't.
    #[serde(flatten)]
    pub answer: LayoutAnswer,
    /// The template in words, one line a sentence; empty where the paper's size is not known.
    pub description: Vec<String>,
}

/// Checks the layout of a method version.
///
/// # Errors
/// A reference that leads nowhere.
pub fn check_kept_layout(
    library: &Library,
    reference: &str,
    question: &LayoutQuestion,
) -> Result<PaperLayout, Failure> {
    let kept = resolve_method(library, reference)?;
    let answer = check_layout(&kept.method()?, question);
    let description = answer.template.as_ref().map_or_else(Vec::new, |geometry| {
        paper_template_text(&drawn(&kept.name(), geometry, false))
            .lines()
            .map(str::to_owned)
            .collect()
    });
    Ok(PaperLayout {
        state: kept.state,
        digest: kept.digest,
        answer,
        description,
    })
}

/// The template as an SVG file, 1:1.
///
/// # Errors
/// A method that doesn't say how large its paper is.
pub fn layout_template(layout: &PaperLayout, demo: bool) -> Result<String, Failure> {
    match &layout.answer.template {
        Some(geometry) => Ok(paper_template(&drawn(
            &layout.answer.method,
            geometry,
            demo,
        ))),
        None => Err(Failure::refused(
            "layout.no-paper-size",
            format!(
                "`{}` doesn't say how large the paper is, so no template can be drawn",
                layout.answer.method
            ),
        )
        .hint("give `layout.paper_width_cm` and `layout.paper_height_cm` in a new version")),
    }
}

fn drawn(method: &str, geometry: &TemplateGeometry, demo: bool) -> PaperTemplate {
    let mm = |cm: f64| 10.0 * cm;
    PaperTemplate {
        method: method.to_owned(),
        width_mm: mm(geometry.width_cm),
        height_mm: mm(geometry.height_cm),
        baseline_mm: mm(geometry.start_line_cm),
        stop_mm: Some(mm(geometry.stop_line_cm)),
        folds_mm: geometry.margins_cm.map(mm).to_vec(),
        lanes: (1..)
            .zip(&geometry.lanes_cm)
            .map(|(number, cm)| TemplateLane {
                number,
                label: String::new(),
                x_mm: mm(*cm),
            })
            .collect(),
        demo,
    }
}
