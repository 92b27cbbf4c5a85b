//! From a method's composition and a volume to amounts that can be weighed and measured.

use super::batch::in_words;
use super::filler::filler;
use super::measuring::{MeasuringOption, Wanted, options};
use super::mixing_order::mixing_order;
use super::poured_lines::poured_lines;
use super::stock_at_hand::StockAtHand;
use crate::composition::{
    CanonicalComposition, CompositionError, DensityUsed, PredictedPh, WayToVolume, aqueous_density,
    canonical, g_per_l_per_unit, known_stocks, predicted_ph, shown_name, substance_key,
};
use dyebook_documents::{Basis, Caution, Component, Composition, Method};
use serde::Serialize;

/// How a volume of a method's developing solvent is made up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Recipe {
    /// The method version.
    pub method: String,
    /// Volume to make, mL; before mixing where volumes are poured together.
    pub volume_ml: f64,
    /// How the recipe comes to its volume.
    pub way: WayToVolume,
    /// One line a component, without what makes up to volume.
    pub lines: Vec<RecipeLine>,
    /// What makes up to volume.
    pub filler: Option<Filler>,
    /// The composition in words.
    pub in_words: String,
    /// Steps in their order.
    pub steps: Vec<String>,
    /// The pH to expect.
    pub ph: Option<PredictedPh>,
    /// Why no pH is predicted.
    pub ph_not_predicted: Option<String>,
    /// How many days a batch may be used.
    pub shelf_life_days: Option<f64>,
    /// The method's cautions, with source and date.
    pub cautions: Vec<Caution>,
    /// Densities used, with their sources.
    pub densities: Vec<DensityUsed>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// One component of a recipe.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecipeLine {
    /// Identifier of the substance.
    pub substance: String,
    /// The name shown.
    pub name: String,
    /// The amount as the method writes it.
    pub as_written: String,
    /// Grams in a litre of the finished liquid.
    pub g_per_l: f64,
    /// The ways to bring it in, the method's own first.
    pub options: Vec<MeasuringOption>,
}

/// What makes up to volume.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Filler {
    /// Its name.
    pub name: String,
    /// How much of it that takes, mL, by the method's own way; `None` where no table tells.
    pub about_ml: Option<f64>,
}

/// Why a recipe can't be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RecipeError {
    /// The composition can't be told.
    #[error(transparent)]
    Composition(#[from] CompositionError),
    /// A volume that is none.
    #[error("a volume of {volume_ml} mL can't be made")]
    NoVolume {
        /// The volume.
        volume_ml: f64,
    },
    /// A component that no bottle gives.
    #[error("no stock at hand makes {wanted} g/L of {substance}")]
    NoUsableStock {
        /// Which substance.
        substance: String,
        /// Grams in a litre wanted.
        wanted: String,
        /// Why each bottle won't do.
        reasons: Vec<String>,
    },
}

impl RecipeError {
    /// A name that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Composition(error) => error.id(),
            Self::NoVolume { .. } => "recipe.no-volume",
            Self::NoUsableStock { .. } => "recipe.no-usable-stock",
        }
    }

    /// What to do about it.
    pub fn hints(&self) -> Vec<String> {
        match self {
            Self::Composition(error) => error.hints(),
            Self::NoVolume { .. } => vec!["give a volume such as `--volume 4000` (mL)".to_owned()],
            Self::NoUsableStock { reasons, .. } => reasons.clone(),
        }
    }
}

/// The recipe for a volume of a method's developing solvent.
///
/// # Shape and units
/// `volume_ml` above 0. `bottles` are the stocks at hand; without any, all known stocks are shown
/// as alternatives.
///
/// # Formula
/// ```text
/// weigh    m = c · V                       measure   V_stock = c · V / c_stock
/// ```
/// with `c` in g/L from the canonical composition.
///
/// # Errors
/// [`RecipeError`].
///
/// # Source
/// OpenStaxChemistry2e, molarity and dilution; densities as named in the result.
pub fn recipe(
    method: &Method,
    volume_ml: f64,
    bottles: &[StockAtHand],
) -> Result<Recipe, RecipeError> {
    if !(volume_ml.is_finite() && volume_ml > 0.0) {
        return Err(RecipeError::NoVolume { volume_ml });
    }
    let developer = &method.developer;
    let liquid = canonical(developer)?;
    let bottles = if bottles.is_empty() {
        known_stocks().iter().map(StockAtHand::known).collect()
    } else {
        bottles.to_vec()
    };
    let lines = match liquid.way {
        WayToVolume::MadeUp => made_up_lines(developer, &liquid, volume_ml, &bottles)?,
        WayToVolume::PouredTogether => poured_lines(developer, &liquid, volume_ml),
    };
    let filler = filler(developer, &liquid, &lines, volume_ml);
    let ph = predicted_ph(&liquid);
    let mut assumptions = liquid.assumptions.clone();
    assumptions.push("volumes at 20 °C".to_owned());
    if liquid.way == WayToVolume::PouredTogether {
        assumptions.push(
            "volumes are measured apart and poured together; the mixture is a little less than their sum"
                .to_owned(),
        );
    }
    Ok(Recipe {
        method: method.name(),
        volume_ml,
        way: liquid.way,
        in_words: in_words(&lines),
        steps: mixing_order(
            &liquid.substances,
            volume_ml,
            filler.as_ref().map(|f| f.name.as_str()),
        ),
        ph_not_predicted: ph.as_ref().err().map(ToString::to_string),
        ph: ph.ok(),
        shelf_life_days: developer.shelf_life_days,
        cautions: method.cautions.clone().unwrap_or_default(),
        densities: all_densities(&liquid, &lines),
        assumptions,
        lines,
        filler,
    })
}

fn made_up_lines(
    developer: &Composition,
    liquid: &CanonicalComposition,
    volume_ml: f64,
    bottles: &[StockAtHand],
) -> Result<Vec<RecipeLine>, RecipeError> {
    let components = developer
        .components
        .iter()
        .filter(|c| c.make_up_to_volume != Some(true));
    components
        .map(|component| {
            let substance = substance_key(&component.substance);
            let unit = g_per_l_per_unit(component, developer);
            // Two lines of one substance are measured line by line.
            let g_per_l = unit.zip(component.amount).map_or_else(
                || liquid.g_per_l(&substance),
                |(unit, amount)| unit * amount,
            );
            let wanted = Wanted {
                component,
                substance: &substance,
                g_per_l: exact_content(component, developer, g_per_l),
                tolerance_g_per_l: component.tolerance.zip(unit).map(|(t, unit)| t * unit),
                volume_ml,
            };
            let options = options(&wanted, bottles);
            if options.iter().all(|option| option.measured.is_none()) {
                return Err(no_usable_stock(component, g_per_l, &options));
            }
            Ok(RecipeLine {
                name: shown_name(&component.substance),
                as_written: as_written(component),
                g_per_l: wanted.g_per_l,
                options,
                substance,
            })
        })
        .collect()
}

/// A mass percent's density depends on the amount, so its content isn't a multiple of one unit's.
fn exact_content(component: &Component, developer: &Composition, by_unit: f64) -> f64 {
    if component.basis != Some(Basis::MassPercent) || developer.density_g_per_ml.is_some() {
        return by_unit;
    }
    let key = substance_key(&component.substance);
    component
        .amount
        .and_then(|amount| Some(10.0 * amount * aqueous_density(&key, amount)?.g_per_ml))
        .unwrap_or(by_unit)
}

fn no_usable_stock(
    component: &Component,
    g_per_l: f64,
    options: &[MeasuringOption],
) -> RecipeError {
    RecipeError::NoUsableStock {
        substance: shown_name(&component.substance),
        wanted: crate::composition::digits(g_per_l),
        reasons: options
            .iter()
            .filter_map(|o| Some(format!("{}: {}", o.stock.as_ref()?, o.note.as_ref()?)))
            .collect(),
    }
}

/// The amount as the method writes it.
pub(super) fn as_written(component: &Component) -> String {
    let amount = component.amount.unwrap_or_default();
    let basis = component.basis.map_or("", Basis::symbol);
    match &component.stock {
        Some(stock) => {
            let bottle = StockAtHand::of_method(&component.substance, stock);
            format!("{amount} {basis} from {}", bottle.name)
        }
        None => format!("{amount} {basis}"),
    }
}

fn all_densities(liquid: &CanonicalComposition, lines: &[RecipeLine]) -> Vec<DensityUsed> {
    let mut all = liquid.densities.clone();
    let options = lines.iter().flat_map(|line| &line.options);
    all.extend(options.flat_map(|option| option.densities.clone()));
    all.sort_by(|a, b| a.of.cmp(&b.of).then(a.g_per_ml.total_cmp(&b.g_per_ml)));
    all.dedup();
    all
}
