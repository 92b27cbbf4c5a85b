//! `solvent recipe`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::MethodState;
use dyebook_methods::composition::digits;
use dyebook_methods::recipe::{BatchDetails, MeasuringOption, Recipe, RecipeLine};
use dyebook_workflows::{
    Failure, SolventRecipe, batch_pages, predicted_ph, shelf_life, signed_percent, solvent_recipe,
    stock_at_hand, taken_from, volume_in_ml, volume_words, write_file,
};
use jiff::civil::Date;
use serde_json::json;
use std::path::PathBuf;

/// Amounts to weigh and measure for a volume.
#[derive(Debug, clap::Args)]
pub(crate) struct SolventRecipeCommand {
    /// `id@version` or `id@requirement`
    #[arg(value_name = "REF")]
    reference: String,
    /// How much to make, with its unit: `4 L`, `500 mL`
    #[arg(long)]
    volume: String,
    /// A bottle at hand: `name=white vinegar,strength=5,basis=% w/v[,substance=…][,volume=300 mL]`
    /// [default: all known ones]
    #[arg(long = "stock", value_name = "STOCK")]
    stocks: Vec<String>,
    /// Write the batch record, to print and fill in
    #[arg(long, value_name = "FILE", visible_alias = "html")]
    batch_record: Option<PathBuf>,
    /// Write the labels for the bottles
    #[arg(long, value_name = "FILE")]
    label: Option<PathBuf>,
    /// Labels on the page
    #[arg(long, value_name = "N", default_value_t = 2)]
    copies: u32,
    /// Code of the batch, for record and label
    #[arg(long, value_name = "CODE")]
    batch: Option<String>,
    /// Day on which it is made, for record and label
    #[arg(long, value_name = "DATE")]
    made_on: Option<Date>,
    /// Who makes it, for record and label
    #[arg(long, value_name = "NAME")]
    made_by: Option<String>,
    /// For which sections, for the record
    #[arg(long, value_name = "TEXT")]
    sections: Option<String>,
}

impl SolventRecipeCommand {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let volume_ml = volume_in_ml(&self.volume)?;
        let bottles = self
            .stocks
            .iter()
            .map(|text| stock_at_hand(text))
            .collect::<Result<Vec<_>, _>>()?;
        let details = BatchDetails {
            batch: self.batch,
            made_on: self.made_on,
            made_by: self.made_by,
            sections: self.sections,
        };
        let made = solvent_recipe(
            &desk.open()?,
            &self.reference,
            volume_ml,
            &bottles,
            &details,
        )?;
        let (record, label) = batch_pages(&made, self.copies);
        let mut page = Page::default();
        recipe_text(&mut page, &made);
        let written = [
            ("batch record", &self.batch_record, record),
            ("labels", &self.label, label),
        ];
        for (what, file, html) in written {
            if let Some(file) = file {
                write_file(file, &html)?;
                page.line(format!("{what} in {}", file.display()));
            }
        }
        let mut answer = json!(made);
        answer["files"] = json!({"batch_record": self.batch_record, "label": self.label});
        Ok(Outcome::new(answer, page.text()))
    }
}

/// A recipe line by line.
pub(crate) fn recipe_text(page: &mut Page, made: &SolventRecipe) {
    let recipe = &made.answer.recipe;
    page.line(format!(
        "{} of the developing solvent of {} ({}, content {})",
        volume_words(recipe.volume_ml),
        recipe.method,
        made.state,
        made.digest.short()
    ));
    match made.state {
        MethodState::Draft => page.line("This version is a draft: no class works by it yet."),
        MethodState::Withdrawn => {
            page.line("This version is withdrawn: nothing is made up by it any more.");
        }
        MethodState::Approved | MethodState::Superseded => {}
    }
    for line in &recipe.lines {
        page.gap();
        page.line(format!(
            "{}: the method says {}, which is {} g/L",
            line.name,
            line.as_written,
            digits(line.g_per_l)
        ));
        page.table(&ways(line));
    }
    for stock in &made.unused_stocks {
        page.line(format!("Nothing of {stock} goes into this liquid."));
    }
    page.gap();
    if let Some(filler) = &recipe.filler {
        let about = filler
            .about_ml
            .map_or_else(String::new, |ml| format!(", about {} mL of it", digits(ml)));
        page.line(format!(
            "{}: make up to {}{about}",
            filler.name,
            volume_words(recipe.volume_ml)
        ));
        page.gap();
    }
    page.line("In this order:");
    for (number, step) in (1..).zip(&recipe.steps) {
        page.line(format!("  {number}. {step}"));
    }
    page.gap();
    around(page, made, recipe);
}

/// pH, shelf life, densities, cautions.
fn around(page: &mut Page, made: &SolventRecipe, recipe: &Recipe) {
    match (predicted_ph(recipe), &recipe.ph_not_predicted) {
        (Some(ph), _) => page.line(format!("Predicted pH {ph}; measure it.")),
        (None, Some(why)) => page.line(format!("No pH is predicted: {why}.")),
        (None, None) => {}
    }
    let use_by = made
        .answer
        .batch_record
        .use_by
        .map_or_else(String::new, |day| format!(", so until {day}"));
    page.line(format!("It may be used {}{use_by}.", shelf_life(recipe)));
    for density in &recipe.densities {
        let at = density
            .temperature_c
            .map_or_else(String::new, |t| format!(" at {t} °C"));
        page.line(format!(
            "Density used: {} {} g/mL{at} ({})",
            density.of, density.g_per_ml, density.source
        ));
    }
    if !recipe.assumptions.is_empty() {
        page.line(format!(
            "Taken for granted: {}.",
            recipe.assumptions.join("; ")
        ));
    }
    page.gap();
    for caution in &recipe.cautions {
        page.line(format!(
            "Caution: {} (source: {}, {}, {})",
            caution.text,
            caution.source,
            caution
                .jurisdiction
                .as_deref()
                .unwrap_or("no jurisdiction given"),
            caution.date.as_deref().unwrap_or("no date given"),
        ));
    }
    if recipe.cautions.is_empty() {
        page.line("The method names no caution.");
    }
    page.line(made.local_rules);
}

/// The ways to bring a component in, side by side.
fn ways(line: &RecipeLine) -> Table {
    let mut table = Table::new([
        "  from", "exactly", "take", "with", "rounding", "gives", "remark",
    ]);
    for option in &line.options {
        let (take, with, rounding) = option.measured.as_ref().map_or_else(
            || ("-".to_owned(), "-".to_owned(), "-".to_owned()),
            |measured| {
                (
                    format!("{} {}", digits(measured.amount), option.unit),
                    measured.with.clone(),
                    signed_percent(measured.error_percent),
                )
            },
        );
        table.row([
            format!("  {}", taken_from(line, option)),
            exactly(option),
            take,
            with,
            rounding,
            option
                .resulting_g_per_l
                .map_or_else(|| "-".to_owned(), |g| format!("{} g/L", digits(g))),
            remark(option),
        ]);
    }
    table
}

fn exactly(option: &MeasuringOption) -> String {
    if option.exact > 0.0 {
        format!("{} {}", digits(option.exact), option.unit)
    } else {
        "-".to_owned()
    }
}

fn remark(option: &MeasuringOption) -> String {
    let own = option.as_in_method.then(|| "as in the method".to_owned());
    let tolerance = option.within_tolerance.map(|within| {
        if within {
            "within its tolerance".to_owned()
        } else {
            "OUTSIDE its tolerance".to_owned()
        }
    });
    let parts: Vec<String> = own
        .into_iter()
        .chain(tolerance)
        .chain(option.note.clone())
        .collect();
    parts.join("; ")
}
