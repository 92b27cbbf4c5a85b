//! How a volume of a kept method's developing solvent is made up, and what is printed for it.

use crate::failure::Failure;
use crate::invented::is_invented;
use crate::resolve_method::resolve_method;
use crate::solvent_words::{PROGRAM, refused_by};
use dyebook_documents::{Composition, Digest, MethodState};
use dyebook_library::Library;
use dyebook_methods::composition::digits;
use dyebook_methods::recipe::{
    BatchDetails, MeasuringOption, Recipe, RecipeAnswer, RecipeError, RecipeLine, StockAtHand,
    recipe, recipe_answer,
};
use dyebook_report::{
    BatchLine, BatchRecord, BottleLabel, batch_record, bottle_label, component_words,
};
use serde::Serialize;

/// A recipe with the method version it is of.
#[derive(Debug, Clone, Serialize)]
pub struct SolventRecipe {
    /// Title of the method.
    pub title: String,
    /// Its state.
    pub state: MethodState,
    /// Its content digest.
    pub digest: Digest,
    /// The composition as the method writes it, one component a line.
    pub composition: Vec<String>,
    /// The recipe with what is printed for the batch.
    #[serde(flatten)]
    pub answer: RecipeAnswer,
    /// Bottles at hand of which this liquid holds nothing.
    pub unused_stocks: Vec<String>,
    /// What the program leaves to people.
    pub local_rules: &'static str,
    /// Whether the method is invented for the demo.
    #[serde(skip)]
    pub demo: bool,
}

/// What every recipe says of hazards.
const LOCAL_RULES: &str = "How the mixture is classified, labelled, stored and thrown away is not \
     worked out here: local rules decide.";

impl From<RecipeError> for Failure {
    fn from(error: RecipeError) -> Self {
        refused_by(error.id(), &error, error.hints())
    }
}

/// The recipe for a volume of a method version's developing solvent.
///
/// # Errors
/// A reference that leads nowhere, and what the recipe refuses.
pub fn solvent_recipe(
    library: &Library,
    reference: &str,
    volume_ml: f64,
    bottles: &[StockAtHand],
    details: &BatchDetails,
) -> Result<SolventRecipe, Failure> {
    let kept = resolve_method(library, reference)?;
    let method = kept.method()?;
    let recipe = recipe(&method, volume_ml, bottles)?;
    let unused = bottles.iter().filter(|bottle| {
        recipe
            .lines
            .iter()
            .all(|line| line.substance != bottle.substance)
    });
    let unused_stocks = unused.map(|bottle| bottle.name.clone()).collect();
    Ok(SolventRecipe {
        title: method.title.clone(),
        state: kept.state,
        digest: kept.digest,
        composition: composition_in_words(&method.developer),
        answer: recipe_answer(recipe, details),
        unused_stocks,
        local_rules: LOCAL_RULES,
        demo: is_invented(&method),
    })
}

/// Each component in words, with its basis.
pub(crate) fn composition_in_words(developer: &Composition) -> Vec<String> {
    developer.components.iter().map(component_words).collect()
}

/// The batch record and the labels as pages to print.
pub fn batch_pages(made: &SolventRecipe, copies: u32) -> (String, String) {
    let recipe = &made.answer.recipe;
    let (record, label) = (made.answer.batch_record.clone(), made.answer.label.clone());
    let day = |date: Option<jiff::civil::Date>| date.map_or_else(String::new, |d| d.to_string());
    let record_page = batch_record(&BatchRecord {
        batch: record.batch.unwrap_or_default(),
        method: record.method,
        digest: made.digest.to_string(),
        volume: volume_words(recipe.volume_ml),
        purpose: record
            .sections
            .unwrap_or_else(|| "sections: ____________".to_owned()),
        lines: recipe
            .lines
            .iter()
            .filter_map(batch_line)
            .chain(filler(recipe))
            .collect(),
        alternatives: alternatives(recipe),
        steps: recipe.steps.clone(),
        predicted_ph: predicted_ph(recipe).unwrap_or_default(),
        shelf_life: shelf_life(recipe),
        made_on: day(record.made_on),
        made_by: record.made_by.unwrap_or_default(),
        use_until: day(record.use_by),
        cautions: recipe.cautions.clone(),
        demo: made.demo,
        program: PROGRAM.to_owned(),
    });
    let label_page = bottle_label(&BottleLabel {
        name: format!("Developing solvent of {}", label.method),
        composition: made.composition.clone(),
        batch: label.batch.unwrap_or_default(),
        made_on: day(label.made_on),
        use_until: day(label.use_by),
        made_by: label.made_by.unwrap_or_default(),
        method: label.method,
        digest: made.digest.to_string(),
        cautions: label.cautions,
        copies,
        demo: made.demo,
        program: PROGRAM.to_owned(),
    });
    (record_page, label_page)
}

/// `4 L`, `250 mL`.
pub fn volume_words(volume_ml: f64) -> String {
    if volume_ml >= 1000.0 {
        format!("{} L", digits(volume_ml / 1000.0))
    } else {
        format!("{} mL", digits(volume_ml))
    }
}

/// The pH to expect with what was taken for granted.
pub fn predicted_ph(recipe: &Recipe) -> Option<String> {
    recipe
        .ph
        .as_ref()
        .map(|found| format!("{:.2} ({})", found.ph, found.assumptions.join("; ")))
}

/// How long a batch may be used.
pub fn shelf_life(recipe: &Recipe) -> String {
    match recipe.shelf_life_days {
        Some(1.0) => "for 1 day from the day it is made".to_owned(),
        Some(days) => format!("for {} days from the day it is made", digits(days)),
        None => "until the day that whoever makes it writes down: the method states no shelf life"
            .to_owned(),
    }
}

/// From which bottle an option takes a component.
pub fn taken_from(line: &RecipeLine, option: &MeasuringOption) -> String {
    option
        .stock
        .clone()
        .unwrap_or_else(|| format!("{}, pure", line.name))
}

fn batch_line(line: &RecipeLine) -> Option<BatchLine> {
    let option = line.options.iter().find(|o| o.measured.is_some())?;
    let measured = option.measured.as_ref()?;
    Some(BatchLine {
        substance: line.name.clone(),
        stock: taken_from(line, option),
        exact: format!("{} {}", digits(option.exact), option.unit),
        measure: format!(
            "{} {} with {}",
            digits(measured.amount),
            option.unit,
            with_article(&measured.with)
        ),
        error: signed_percent(measured.error_percent),
    })
}

/// `+0.4 %`; what rounds to nothing has no sign.
pub fn signed_percent(percent: f64) -> String {
    if percent.abs() < 0.05 {
        "0.0 %".to_owned()
    } else {
        format!("{percent:+.1} %")
    }
}

/// `a 50 mL graduated cylinder`.
fn with_article(vessel: &str) -> String {
    format!("a {vessel}")
}

fn filler(recipe: &Recipe) -> Option<BatchLine> {
    let filler = recipe.filler.as_ref()?;
    Some(BatchLine {
        substance: filler.name.clone(),
        stock: String::new(),
        exact: filler
            .about_ml
            .map_or_else(String::new, |ml| format!("about {} mL", digits(ml))),
        measure: format!("up to {} mL", digits(recipe.volume_ml)),
        error: String::new(),
    })
}

/// The other ways to bring each component in, one sentence each.
fn alternatives(recipe: &Recipe) -> Vec<String> {
    let others = |line: &RecipeLine| {
        let used = line.options.iter().position(|o| o.measured.is_some());
        line.options
            .iter()
            .enumerate()
            .filter(|(index, _)| Some(*index) != used)
            .map(|(_, option)| alternative(line, option))
            .collect::<Vec<_>>()
    };
    recipe.lines.iter().flat_map(others).collect()
}

fn alternative(line: &RecipeLine, option: &MeasuringOption) -> String {
    let note = option
        .note
        .as_ref()
        .map_or_else(String::new, |note| format!(" ({note})"));
    match &option.measured {
        Some(measured) => format!(
            "{} from {}: {} {} exactly, {} {} with {}, {}{note}",
            line.name,
            taken_from(line, option),
            digits(option.exact),
            option.unit,
            digits(measured.amount),
            option.unit,
            with_article(&measured.with),
            signed_percent(measured.error_percent),
        ),
        None => format!("{} not from {}{note}", line.name, taken_from(line, option)),
    }
}
