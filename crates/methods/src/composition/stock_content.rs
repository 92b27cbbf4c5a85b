//! How much pure substance a millilitre of a stock holds.

use super::composition_error::CompositionError;
use super::densities::{DensityUsed, aqueous_density, pure_density, solution_of};
use super::stocks::same_bottle;
use super::substances::{Substance, near_substance, substance};
use dyebook_documents::{Basis, Stock};

/// What a millilitre of a stock holds.
#[derive(Debug, Clone, PartialEq)]
pub struct StockContent {
    /// Pure substance, g in a mL of the stock.
    pub solute_g_per_ml: f64,
    /// Density of the stock, g/mL, where it is known.
    pub density_g_per_ml: Option<f64>,
    /// Densities used, with their sources.
    pub densities: Vec<DensityUsed>,
}

/// What a millilitre of a stock holds.
///
/// # Shape and units
/// `name` is the substance's name. Grams of pure substance in a millilitre of the stock.
///
/// # Formula
/// ```text
/// % w/v   s/100            g/L   s/1000          mol/L   s·M/1000
/// % w/w   s/100 · d(stock) % v/v s/100 · d(pure)
/// ```
/// `d(stock)` is the bottle's own density where the bottle is a known one, else interpolated in
/// the table of the aqueous solution. A volume percent counts the volume made up (so it holds
/// although volumes shrink on mixing).
///
/// # Errors
/// [`CompositionError`] where a density or a molar mass is needed and not known.
///
/// # Source
/// Definitions of the bases; `references/densities.json` and `references/stocks.json`.
///
/// # Examples
/// ```
/// use dyebook_documents::{Basis, Stock};
/// let vinegar = Stock { name: None, strength: 5.0, basis: Basis::MassVolumePercent };
/// let content = dyebook_methods::composition::stock_content("acetic acid", &vinegar)?;
/// assert_eq!(content.solute_g_per_ml, 0.05);
/// # Ok::<(), dyebook_methods::composition::CompositionError>(())
/// ```
pub fn stock_content(name: &str, stock: &Stock) -> Result<StockContent, CompositionError> {
    let known = substance(name);
    let key = known.map_or(name, |s| s.id.as_str());
    let percent = stock.strength / 100.0;
    match stock.basis {
        Basis::MassVolumePercent => Ok(from_content(key, percent, stock)),
        Basis::GramPerLitre => Ok(from_content(key, stock.strength / 1000.0, stock)),
        Basis::MolePerLitre => {
            let molar_mass = molar_mass(name, Basis::MolePerLitre)?;
            Ok(from_content(
                key,
                stock.strength * molar_mass / 1000.0,
                stock,
            ))
        }
        Basis::MassPercent => {
            let density =
                density_of(key, stock).ok_or_else(|| CompositionError::StockDensityUnknown {
                    substance: super::shown_name(key),
                    strength: stock.strength,
                })?;
            Ok(StockContent {
                solute_g_per_ml: percent * density.g_per_ml,
                density_g_per_ml: Some(density.g_per_ml),
                densities: vec![density],
            })
        }
        Basis::VolumePercent | Basis::VolumeParts => {
            let pure = liquid_density(name, known, stock.basis)?;
            let mut content = from_content(key, percent * pure.g_per_ml, stock);
            content.densities.insert(0, pure);
            Ok(content)
        }
    }
}

/// A stock whose mass in a millilitre is known; its density is only wanted for the water in it.
fn from_content(key: &str, solute_g_per_ml: f64, stock: &Stock) -> StockContent {
    let bottle = same_bottle(key, stock).and_then(|b| b.density_g_per_ml.as_ref());
    let density = bottle
        .map(|d| d.value)
        .or_else(|| solution_of(key, solute_g_per_ml).map(|(_, d)| d.g_per_ml));
    StockContent {
        solute_g_per_ml,
        density_g_per_ml: density,
        densities: Vec::new(),
    }
}

fn density_of(key: &str, stock: &Stock) -> Option<DensityUsed> {
    let bottle = same_bottle(key, stock).and_then(|known| {
        let density = known.density_g_per_ml.as_ref()?;
        Some(DensityUsed {
            of: known.name.clone(),
            g_per_ml: density.value,
            temperature_c: density.temperature_c,
            source: density.source.clone(),
        })
    });
    bottle.or_else(|| aqueous_density(key, stock.strength))
}

/// Density of a pure liquid that is poured.
pub(crate) fn liquid_density(
    name: &str,
    known: Option<&Substance>,
    basis: Basis,
) -> Result<DensityUsed, CompositionError> {
    let Some(known) = known else {
        return Err(unknown(name, "its density", basis));
    };
    if !known.liquid_when_pure {
        return Err(CompositionError::NoLiquid {
            substance: known.name.clone(),
            basis: basis.symbol(),
        });
    }
    pure_density(&known.id).ok_or_else(|| unknown(name, "its density", basis))
}

/// Molar mass, g/mol.
pub(crate) fn molar_mass(name: &str, basis: Basis) -> Result<f64, CompositionError> {
    substance(name)
        .map(|s| s.molar_mass.value)
        .ok_or_else(|| unknown(name, "its molar mass", basis))
}

fn unknown(name: &str, needs: &'static str, basis: Basis) -> CompositionError {
    CompositionError::UnknownSubstance {
        substance: name.to_owned(),
        needs,
        basis: basis.symbol(),
        near: near_substance(name),
    }
}

#[cfg(test)]
mod tests {
    use super::stock_content;
    use crate::composition::{known_stocks, substance};
    use dyebook_documents::{Basis, Stock};

    #[test]
    fn commercial_stocks_have_the_published_molarity() {
        // OpenStax Chemistry 2e, appendix: composition of commercial acids and bases.
        for (id, mol_per_l) in [
            ("glacial-acetic-acid-99-5", 17.4),
            ("ammonia-28", 14.8),
            ("hydrochloric-acid-36", 11.6),
            ("sodium-hydroxide-50", 19.1),
        ] {
            let stock = known_stocks().iter().find(|s| s.id == id).unwrap();
            let content = stock_content(&stock.substance, &stock.as_stock()).unwrap();
            let molar_mass = substance(&stock.substance).unwrap().molar_mass.value;
            let found = content.solute_g_per_ml * 1000.0 / molar_mass;
            assert!((found - mol_per_l).abs() < 0.06, "{id}: {found}");
        }
    }

    #[test]
    fn a_bottle_without_a_known_name_uses_the_table() {
        // CRC Handbook, 102nd ed.: ammonia 28 % w/w has 0.8980 g/mL and 14.764 mol/L.
        let stock = Stock {
            name: None,
            strength: 28.0,
            basis: Basis::MassPercent,
        };
        let content = stock_content("ammonia", &stock).unwrap();
        let molarity = content.solute_g_per_ml * 1000.0 / 17.031;
        assert!((molarity - 14.764).abs() < 0.003 + 0.0003 * 14.764);
        let beyond = Stock {
            strength: 35.0,
            ..stock
        };
        let error = stock_content("ammonia", &beyond).unwrap_err();
        assert_eq!(error.id(), "composition.stock-density-unknown");
    }
}
