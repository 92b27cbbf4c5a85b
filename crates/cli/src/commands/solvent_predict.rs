//! `solvent predict`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::DyeRegister;
use dyebook_methods::composition::digits;
use dyebook_methods::solvents::{PredictedDye, Prediction, RmFit, RmModel};
use dyebook_workflows::{Failure, dye_name, predict_kept_solvent, with_dye_names};
use serde_json::json;

/// Expected Rf at a composition between measured ones.
#[derive(Debug, clap::Args)]
pub(crate) struct SolventPredict {
    /// The method whose versions were measured; several where they differ in one substance
    #[arg(value_name = "ID", required = true)]
    ids: Vec<String>,
    /// A file that holds a composition, or what differs from the newest version:
    /// `sodium chloride = 2 % w/v`
    #[arg(long, value_name = "COMPOSITION", required = true)]
    composition: Vec<String>,
}

impl SolventPredict {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let dyes = library.dye_register()?;
        let prediction = predict_kept_solvent(&library, &self.ids, &self.composition)?;
        let mut page = Page::default();
        text(&mut page, &prediction, &dyes);
        Ok(Outcome::new(json!(prediction), page.text()))
    }
}

fn text(page: &mut Page, prediction: &Prediction, dyes: &DyeRegister) {
    let note = prediction.note.trim_start_matches("predicted, ");
    page.line(format!("PREDICTED, {note}."));
    page.line(format!(
        "{} at {} g/L, between measured versions:",
        prediction.axis.replace('-', " "),
        digits(prediction.at_g_per_l)
    ));
    for point in &prediction.points {
        page.line(format!("  {} g/L  {}", digits(point.g_per_l), point.method));
    }
    for left_out in &prediction.left_out {
        page.line(format!("  not on the line: {left_out}"));
    }
    page.gap();
    let mut table = Table::new(["dye", "predicted Rf", "range", "from", "width set by"]);
    for dye in &prediction.dyes {
        table.row([
            dye_name(&dye.dye, dyes),
            format!("{:.2}", dye.rf),
            format!("{:.2} to {:.2}", dye.expected.low, dye.expected.high),
            fits(dye),
            dye.width_from.to_owned(),
        ]);
    }
    page.table(&table);
    page.gap();
    for crossing in &prediction.crossings {
        page.line(format!("{}.", with_dye_names(crossing, dyes)));
    }
    for refused in &prediction.refused {
        page.line(format!(
            "{}: nothing is predicted, as {}.",
            dye_name(&refused.dye, dyes),
            refused.why
        ));
    }
}

/// Which form was chosen, and what the other one left.
fn fits(dye: &PredictedDye) -> String {
    let words = |fit: &RmFit| match fit.model {
        RmModel::Linear => "RM against content",
        RmModel::Logarithmic => "RM against log of content",
    };
    let chosen = &dye.fits.chosen;
    let other = dye.fits.other.as_ref().map_or_else(String::new, |other| {
        format!("; {}: {:.3}", words(other), other.residual_sd)
    });
    format!(
        "{} (residual {:.3}{other})",
        words(chosen),
        chosen.residual_sd
    )
}
