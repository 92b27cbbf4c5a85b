//! Does the paper of a kept method version work, and what does its template look like?

use crate::failure::Failure;
use crate::invented::is_invented;
use crate::resolve_method::resolve_method;
use dyebook_documents::{Digest, MethodState};
use dyebook_library::Library;
use dyebook_methods::layout::{LayoutAnswer, LayoutQuestion, TemplateGeometry, check_layout};
use dyebook_report::{
    PaperTemplate, TemplateLane, paper_template, paper_template_pdf, paper_template_text,
};
use serde::Serialize;
use std::path::Path;

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
    /// Whether the method is invented for the demo.
    #[serde(skip)]
    pub demo: bool,
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
    let method = kept.method()?;
    let answer = check_layout(&method, question);
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
        demo: is_invented(&method),
    })
}

/// What a template is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TemplateForm {
    /// A drawing in mm.
    Svg,
    /// A page at true size that asks to be printed at 100 %.
    Pdf,
}

impl TemplateForm {
    /// By the ending of the file's name; a name without one (a pipe) gets a drawing.
    ///
    /// # Errors
    /// Another ending.
    pub fn of(file: &Path) -> Result<Self, Failure> {
        let ending = file
            .extension()
            .map(|one| one.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            None | Some("svg") => Ok(Self::Svg),
            Some("pdf") => Ok(Self::Pdf),
            Some(other) => Err(Failure::refused(
                "layout.no-such-form",
                format!(
                    "a template is an SVG drawing or a PDF page, and `{}` ends in `.{other}`",
                    file.display()
                ),
            )
            .hint("end the file's name in `.pdf` or `.svg`")),
        }
    }
}

/// The template as a file, 1:1.
///
/// # Errors
/// A method that doesn't say how large its paper is.
pub fn layout_template(layout: &PaperLayout, form: TemplateForm) -> Result<Vec<u8>, Failure> {
    let Some(geometry) = &layout.answer.template else {
        return Err(Failure::refused(
            "layout.no-paper-size",
            format!(
                "`{}` doesn't say how large the paper is, so no template can be drawn",
                layout.answer.method
            ),
        )
        .hint("give `layout.paper_width_cm` and `layout.paper_height_cm` in a new version"));
    };
    let template = drawn(&layout.answer.method, geometry, layout.demo);
    Ok(match form {
        TemplateForm::Svg => paper_template(&template).into_bytes(),
        TemplateForm::Pdf => paper_template_pdf(&template),
    })
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
