//! What is printed for a batch: the record to fill in and the bottle's label.

use super::make_up::{Recipe, RecipeLine};
use crate::composition::digits;
use dyebook_documents::Caution;
use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

/// What is known of a batch when its papers are printed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BatchDetails {
    /// Batch number.
    pub batch: Option<String>,
    /// Day on which it is made.
    pub made_on: Option<Date>,
    /// Who makes it.
    pub made_by: Option<String>,
    /// For which sections.
    pub sections: Option<String>,
}

/// A batch record; what is `None` is a field to fill in by hand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BatchRecord {
    /// The method version.
    pub method: String,
    /// Batch number.
    pub batch: Option<String>,
    /// Day on which it was made.
    pub made_on: Option<Date>,
    /// Who made it.
    pub made_by: Option<String>,
    /// For which sections.
    pub sections: Option<String>,
    /// Last day of use.
    pub use_by: Option<Date>,
    /// Volume, mL.
    pub volume_ml: f64,
    /// One line a component.
    pub lines: Vec<BatchLine>,
    /// The pH to expect.
    pub ph_predicted: Option<f64>,
    /// The pH found.
    pub ph_measured: Option<f64>,
    /// Steps to tick.
    pub steps: Vec<String>,
}

/// One component of a batch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BatchLine {
    /// What it is measured from.
    pub from: String,
    /// The amount to measure.
    pub planned: f64,
    /// `g` or `mL`.
    pub unit: &'static str,
    /// What it is measured with.
    pub with: String,
    /// The amount measured.
    pub actual: Option<f64>,
    /// The bottle's lot.
    pub lot: Option<String>,
}

/// A bottle's label.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Label {
    /// What it is.
    pub title: String,
    /// The composition in words, with amounts.
    pub composition: String,
    /// The method version.
    pub method: String,
    /// Batch number.
    pub batch: Option<String>,
    /// Day on which it was made.
    pub made_on: Option<Date>,
    /// Last day of use.
    pub use_by: Option<Date>,
    /// Who made it.
    pub made_by: Option<String>,
    /// The method's cautions, as their sources word them.
    pub cautions: Vec<Caution>,
    /// What the program leaves to people.
    pub note: &'static str,
}

/// What every label and record says of hazards.
const LOCAL_RULES: &str = "cautions are the method's, with their sources; how the mixture is classified and labelled is for local rules and the person responsible";

/// A recipe with the papers of a batch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecipeAnswer {
    /// The recipe.
    #[serde(flatten)]
    pub recipe: Recipe,
    /// The record to fill in.
    pub batch_record: BatchRecord,
    /// The bottle's label.
    pub label: Label,
}

/// A recipe with the record and the label of a batch made by the first possible way of each line.
pub fn recipe_answer(recipe: Recipe, details: &BatchDetails) -> RecipeAnswer {
    let use_by = details
        .made_on
        .zip(recipe.shelf_life_days)
        .and_then(|(made_on, days)| {
            #[expect(
                clippy::cast_possible_truncation,
                reason = "a shelf life is a few days"
            )]
            let days = days.floor() as i64;
            made_on.checked_add(days.days()).ok()
        });
    let record = BatchRecord {
        method: recipe.method.clone(),
        batch: details.batch.clone(),
        made_on: details.made_on,
        made_by: details.made_by.clone(),
        sections: details.sections.clone(),
        use_by,
        volume_ml: recipe.volume_ml,
        lines: recipe.lines.iter().filter_map(batch_line).collect(),
        ph_predicted: recipe.ph.as_ref().map(|p| p.ph),
        ph_measured: None,
        steps: recipe.steps.clone(),
    };
    let label = Label {
        title: "developing solvent".to_owned(),
        composition: recipe.in_words.clone(),
        method: recipe.method.clone(),
        batch: details.batch.clone(),
        made_on: details.made_on,
        use_by,
        made_by: details.made_by.clone(),
        cautions: recipe.cautions.clone(),
        note: LOCAL_RULES,
    };
    RecipeAnswer {
        recipe,
        batch_record: record,
        label,
    }
}

fn batch_line(line: &RecipeLine) -> Option<BatchLine> {
    let option = line
        .options
        .iter()
        .find(|option| option.measured.is_some())?;
    let measured = option.measured.as_ref()?;
    Some(BatchLine {
        from: option.stock.clone().unwrap_or_else(|| line.name.clone()),
        planned: measured.amount,
        unit: option.unit,
        with: measured.with.clone(),
        actual: None,
        lot: None,
    })
}

/// The composition in words: `acetic acid 8.37 g/L, sodium chloride 12 g/L, in water`.
pub(super) fn in_words(lines: &[RecipeLine]) -> String {
    let parts: Vec<String> = lines
        .iter()
        .map(|line| {
            format!(
                "{} {} g/L ({})",
                line.name,
                digits(line.g_per_l),
                line.as_written
            )
        })
        .collect();
    format!("{}, in water", parts.join(", "))
}
