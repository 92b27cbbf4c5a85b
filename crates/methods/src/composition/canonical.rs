//! One form for every way of writing a composition.

use super::basis_readings::readings_without_basis;
use super::composition_error::CompositionError;
use super::densities::{DensityUsed, aqueous_density};
use super::litre::Litre;
use super::stock_content::{StockContent, liquid_density, molar_mass, stock_content};
use super::stocks::known_stock;
use super::substances::{WATER, substance, substance_key};
use super::way_to_volume::{WayToVolume, makes_up, way_to_volume};
use dyebook_documents::{Basis, Component, Composition};
use serde::Serialize;

/// What a litre of the finished developing solvent holds. Water is the remainder and not listed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CanonicalComposition {
    /// How the recipe comes to its volume.
    pub way: WayToVolume,
    /// Each pure substance, by identifier.
    pub substances: Vec<Content>,
    /// Densities used, with their sources.
    pub densities: Vec<DensityUsed>,
    /// What was taken for granted, in words.
    pub assumptions: Vec<String>,
}

/// How much of one pure substance a litre holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Content {
    /// Identifier of a known substance, else the folded name.
    pub substance: String,
    /// The name shown.
    pub name: String,
    /// Grams in a litre of the finished liquid.
    pub g_per_l: f64,
    /// Millilitres of the pure liquid in a litre of the finished liquid; `None` for what is no
    /// liquid or has no known density.
    pub ml_per_l: Option<f64>,
}

impl CanonicalComposition {
    /// Grams of a substance in a litre; 0 where it is not in it.
    pub fn g_per_l(&self, substance: &str) -> f64 {
        self.content(substance).map_or(0.0, |c| c.g_per_l)
    }

    /// The entry of a substance.
    pub fn content(&self, substance: &str) -> Option<&Content> {
        self.substances.iter().find(|c| c.substance == substance)
    }

    /// The same liquid as a recipe in g/L that water makes up to volume.
    pub fn to_composition(&self) -> Composition {
        let plain = |substance: &str| Component {
            substance: substance.to_owned(),
            amount: None,
            basis: None,
            make_up_to_volume: None,
            stock: None,
            tolerance: None,
        };
        let solutes = self.substances.iter().map(|content| Component {
            amount: Some(content.g_per_l),
            basis: Some(Basis::GramPerLitre),
            ..plain(&content.substance)
        });
        let water = Component {
            make_up_to_volume: Some(true),
            ..plain(WATER)
        };
        Composition {
            components: solutes.chain([water]).collect(),
            density_g_per_ml: None,
            shelf_life_days: None,
        }
    }
}

/// Brings a composition to grams and millilitres of each pure substance in a litre.
///
/// # Shape and units
/// Any composition that says how it comes to its volume. g/L and mL/L of the finished liquid at
/// 20 °C.
///
/// # Formula
/// ```text
/// % v/v    10·a mL of the stock as poured (of the pure liquid without a stock), times what a mL holds
/// % w/v    10·a        g/L   a        mol/L   a·M         of the pure substance, whatever the stock
/// % w/w    10·a·d(finished liquid)
/// parts v  1000·a/Σa mL of the stock as poured, times 1000/V(finished)
/// ```
/// `V(finished)` of 1000 mL poured together is mass over density where one substance and water
/// are mixed and there is a table; else volumes are taken as additive and an assumption says so.
/// Volume fractions that sum to 100 are the same as parts.
///
/// # Errors
/// [`CompositionError`], in words, where a basis, an amount, a constant or a density is missing.
///
/// # Source
/// Definitions of the bases; densities as named in the result.
///
/// # Examples
/// ```
/// # use dyebook_methods::composition::canonical;
/// let recipe = serde_json::from_str(r#"{"components": [
///     {"substance": "water", "make_up_to_volume": true},
///     {"substance": "acetic acid", "amount": 1, "basis": "% w/v"}]}"#)?;
/// assert_eq!(canonical(&recipe)?.g_per_l("acetic-acid"), 10.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn canonical(composition: &Composition) -> Result<CanonicalComposition, CompositionError> {
    for component in &composition.components {
        check_named(component)?;
    }
    let way = way_to_volume(composition)?;
    let mut sum = Litre::default();
    let poured = match way {
        WayToVolume::MadeUp => Vec::new(),
        WayToVolume::PouredTogether => poured_volumes(composition),
    };
    if !poured.is_empty() {
        sum.pour(&poured)?;
    }
    for component in &composition.components {
        if makes_up(component) || is_poured(component, way) {
            continue;
        }
        let (g_per_l, densities) = dissolved(component, composition)?;
        sum.densities.extend(densities);
        sum.add(&component.substance, g_per_l);
    }
    if let Some(filler) = composition.components.iter().find(|c| makes_up(c)) {
        sum.fill(filler)?;
    }
    Ok(sum.into_canonical(way))
}

/// Grams in a litre for one unit of a component's amount, e.g. to express a tolerance in g/L.
pub(crate) fn g_per_l_per_unit(component: &Component, whole: &Composition) -> Option<f64> {
    let one = Component {
        amount: Some(1.0),
        ..component.clone()
    };
    if component.basis == Some(Basis::VolumeParts) {
        let total: f64 = whole.components.iter().filter_map(|c| c.amount).sum();
        return Some(10.0 * per_ml(&one).ok()?.solute_g_per_ml * 100.0 / total);
    }
    dissolved(&one, whole).ok().map(|(g_per_l, _)| g_per_l)
}

fn check_named(component: &Component) -> Result<(), CompositionError> {
    let name = &component.substance;
    if let (None, Some(stock)) = (substance(name), known_stock(name)) {
        return Err(CompositionError::StockForSubstance {
            stock: name.clone(),
            substance: super::shown_name(&stock.substance),
            strength: format!("{} {}", stock.strength, stock.basis.symbol()),
        });
    }
    if makes_up(component) {
        return Ok(());
    }
    match (component.amount, component.basis) {
        (None, _) => Err(CompositionError::AmountMissing {
            substance: name.clone(),
        }),
        (Some(amount), None) => Err(CompositionError::BasisMissing {
            substance: name.clone(),
            readings: readings_without_basis(name, amount, component.stock.as_ref(), None)
                .message(),
        }),
        (Some(_), Some(_)) => Ok(()),
    }
}

fn is_poured(component: &Component, way: WayToVolume) -> bool {
    way == WayToVolume::PouredTogether
        && matches!(
            component.basis,
            Some(Basis::VolumeParts | Basis::VolumePercent)
        )
}

/// The components that are measured by volume, each with its share of 1000 mL before mixing.
fn poured_volumes(composition: &Composition) -> Vec<(&Component, f64)> {
    let poured = || {
        composition
            .components
            .iter()
            .filter(|c| is_poured(c, WayToVolume::PouredTogether))
            .filter_map(|c| Some((c, c.amount?)))
    };
    let total: f64 = poured().map(|(_, amount)| amount).sum();
    poured()
        .map(|(c, amount)| (c, 1000.0 * amount / total))
        .collect()
}

/// What a millilitre of what is poured holds: the stock, or the pure liquid without one.
pub(super) fn per_ml(component: &Component) -> Result<StockContent, CompositionError> {
    let name = &component.substance;
    if let Some(stock) = &component.stock {
        return stock_content(name, stock);
    }
    let basis = component.basis.unwrap_or(Basis::VolumePercent);
    let density = liquid_density(name, substance(name), basis)?;
    Ok(StockContent {
        solute_g_per_ml: density.g_per_ml,
        density_g_per_ml: Some(density.g_per_ml),
        densities: vec![density],
    })
}

/// Grams in a litre of a component whose amount is not in parts.
fn dissolved(
    component: &Component,
    whole: &Composition,
) -> Result<(f64, Vec<DensityUsed>), CompositionError> {
    let name = &component.substance;
    let amount = component.amount.unwrap_or_default();
    let basis = component.basis.unwrap_or(Basis::GramPerLitre);
    match basis {
        Basis::VolumePercent | Basis::VolumeParts => {
            let content = per_ml(component)?;
            Ok((10.0 * amount * content.solute_g_per_ml, content.densities))
        }
        Basis::MassVolumePercent => Ok((10.0 * amount, Vec::new())),
        Basis::GramPerLitre => Ok((amount, Vec::new())),
        Basis::MolePerLitre => Ok((amount * molar_mass(name, basis)?, Vec::new())),
        Basis::MassPercent => {
            let density = liquid_made_up(component, whole).ok_or_else(|| {
                CompositionError::LiquidDensityUnknown {
                    substance: name.clone(),
                }
            })?;
            Ok((10.0 * amount * density.g_per_ml, vec![density]))
        }
    }
}

/// Density of the finished liquid: measured, or from the table of a single substance in water.
fn liquid_made_up(component: &Component, whole: &Composition) -> Option<DensityUsed> {
    if let Some(measured) = whole.density_g_per_ml {
        return Some(DensityUsed {
            of: "the finished liquid".to_owned(),
            g_per_ml: measured,
            temperature_c: None,
            source: "measured, as the method says".to_owned(),
        });
    }
    let alone = whole.components.iter().all(|other| {
        let key = substance_key(&other.substance);
        std::ptr::eq(other, component) || key == WATER || other == component
    });
    let key = substance_key(&component.substance);
    let density = aqueous_density(&key, component.amount?)?;
    alone.then_some(density)
}
