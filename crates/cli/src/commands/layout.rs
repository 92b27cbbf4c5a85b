//! `layout`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_methods::layout::{Assumed, COMMON_PRACTICE, LayoutAnswer, LayoutQuestion};
use dyebook_workflows::{
    Failure, PaperLayout, TemplateForm, check_kept_layout, layout_template, write_file,
};
use serde_json::json;
use std::path::PathBuf;

/// Whether the paper works, and a 1:1 template.
#[derive(Debug, clap::Args)]
pub(crate) struct Layout {
    /// `id@version` or `id@requirement`
    #[arg(value_name = "REF")]
    reference: String,
    /// Write the template, 1:1, to lie under the paper; the ending says whether as PDF or SVG
    #[arg(long, value_name = "FILE.pdf|FILE.svg")]
    template: Option<PathBuf>,
    /// The paper is rolled to a cylinder
    #[arg(long)]
    rolled: bool,
    /// Gap between the edges of a rolled paper, cm
    #[arg(long, value_name = "CM", requires = "rolled", default_value_t = LayoutQuestion::default().gap_cm)]
    gap: f64,
    /// Width of the widest spot at the end of the run, cm
    #[arg(long, value_name = "CM", default_value_t = LayoutQuestion::default().widest_spot_cm)]
    widest_spot: f64,
    /// Width of a spot at the start, cm
    #[arg(long, value_name = "CM", default_value_t = LayoutQuestion::default().first_spot_cm)]
    first_spot: f64,
}

impl Layout {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        for (option, value) in [
            ("--gap", self.gap),
            ("--widest-spot", self.widest_spot),
            ("--first-spot", self.first_spot),
        ] {
            if !(value.is_finite() && value >= 0.0) {
                return Err(Failure::refused(
                    "layout.bad-length",
                    format!("`{option} {value}` is no length in cm"),
                ));
            }
        }
        let question = LayoutQuestion {
            rolled: self.rolled,
            gap_cm: self.gap,
            widest_spot_cm: self.widest_spot,
            first_spot_cm: self.first_spot,
        };
        let layout = check_kept_layout(&desk.open()?, &self.reference, &question)?;
        let mut page = Page::default();
        layout_text(&mut page, &layout);
        if let Some(file) = &self.template {
            let form = TemplateForm::of(file)?;
            write_file(file, &layout_template(&layout, form)?)?;
            page.gap();
            page.line(format!(
                "template in {}: print it at 100 %, check its scale bar, lay it under the paper",
                file.display()
            ));
        }
        let mut answer = json!(layout);
        answer["template_file"] = json!(self.template);
        Ok(Outcome::new(answer, page.text()).needing_person(!layout.answer.works))
    }
}

/// A layout line by line.
pub(crate) fn layout_text(page: &mut Page, layout: &PaperLayout) {
    let answer = &layout.answer;
    page.line(format!(
        "{} ({}, content {}): the paper {}",
        answer.method,
        layout.state,
        layout.digest.short(),
        if answer.works {
            "works"
        } else {
            "DOES NOT WORK"
        }
    ));
    constraints(page, answer);
    if !answer.suggestions.is_empty() {
        page.line("What would mend it:");
    }
    for suggestion in &answer.suggestions {
        page.line(format!("  {suggestion}"));
    }
    if let Some([low, middle, high]) = answer.u_rf {
        page.line(format!(
            "Reading the ruler leaves u(Rf) = {low:.4} at Rf 0.25, {middle:.4} at 0.5 and {high:.4} at 0.75 on the longest run."
        ));
    }
    if let Some(gap) = answer.touching_gap_rf {
        page.line(format!(
            "Two of the widest spots just touch when their Rf lie {gap:.3} apart."
        ));
    }
    let assumed = assumed(layout);
    if !assumed.is_empty() {
        page.line(format!(
            "The method doesn't say {}: {COMMON_PRACTICE}.",
            assumed.join(", ")
        ));
    }
    page.gap();
    for line in &layout.description {
        page.line(line);
    }
}

/// What holds and what doesn't, with the one that binds.
fn constraints(page: &mut Page, answer: &LayoutAnswer) {
    for constraint in &answer.constraints {
        let verdict = match constraint.holds {
            Some(true) => "holds",
            Some(false) => "BROKEN",
            None => "not known",
        };
        let binds = if answer.binding == Some(constraint.id) {
            if answer.works {
                "  <- the tightest"
            } else {
                "  <- this one binds"
            }
        } else {
            ""
        };
        page.line(format!(
            "  {verdict:9}  {} [{}]{binds}",
            constraint.message, constraint.id
        ));
    }
}

fn assumed(layout: &PaperLayout) -> Vec<String> {
    let setting = &layout.answer.setting;
    let all: [(&str, Assumed, &str); 6] = [
        ("the start line", setting.baseline_cm, "cm"),
        ("the number of lanes", setting.lanes, ""),
        ("the pitch", setting.lane_pitch_cm, "cm"),
        ("the fold margin", setting.fold_margin_cm, "cm"),
        (
            "where the front stops",
            setting.front_margin_cm,
            "cm from the top",
        ),
        ("the volume in the chamber", setting.volume_ml, "mL"),
    ];
    all.iter()
        .filter(|(_, assumed, _)| assumed.from == COMMON_PRACTICE)
        .map(|(what, assumed, unit)| {
            format!(
                "{what} ({})",
                format!("{} {unit}", assumed.value).trim_end()
            )
        })
        .collect()
}
