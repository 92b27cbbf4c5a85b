//! What makes up to volume, and how much of it that takes.

use super::make_up::{Filler, RecipeLine};
use crate::composition::{
    CanonicalComposition, WATER, aqueous_density, pure_density, shown_name, solution_of,
    stock_content, substance_key,
};
use dyebook_documents::Composition;

/// What makes up to volume, and how much of it that takes for one substance in water.
///
/// # Formula
/// ```text
/// V(water) = (V·d(finished) − Σ m(measured)) / d(water)
/// ```
pub(super) fn filler(
    developer: &Composition,
    liquid: &CanonicalComposition,
    lines: &[RecipeLine],
    volume_ml: f64,
) -> Option<Filler> {
    let component = developer
        .components
        .iter()
        .find(|c| c.make_up_to_volume == Some(true))?;
    let about_ml = || {
        let [line] = lines else { return None };
        let [content] = liquid.substances.as_slice() else {
            return None;
        };
        let finished = finished_density(&content.substance, content.g_per_l / 1000.0)?;
        let option = line.options.first()?;
        let mass = if option.unit == "g" {
            option.exact
        } else {
            option.exact * poured_density(line, developer)?
        };
        let water = aqueous_density(&content.substance, 0.0)?.g_per_ml;
        Some((volume_ml * finished - mass) / water)
    };
    let is_water = substance_key(&component.substance) == WATER;
    Some(Filler {
        name: shown_name(&component.substance),
        about_ml: is_water.then(about_ml).flatten(),
    })
}

fn finished_density(substance: &str, g_per_ml: f64) -> Option<f64> {
    solution_of(substance, g_per_ml).map(|(_, density)| density.g_per_ml)
}

fn poured_density(line: &RecipeLine, developer: &Composition) -> Option<f64> {
    let component = developer
        .components
        .iter()
        .find(|c| substance_key(&c.substance) == line.substance)?;
    match &component.stock {
        Some(stock) => {
            stock_content(&component.substance, stock)
                .ok()?
                .density_g_per_ml
        }
        None => pure_density(&line.substance).map(|d| d.g_per_ml),
    }
}
