//! Densities: tables of aqueous solutions and pure liquids, each value with its source.

use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// A density that a calculation used, with its source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DensityUsed {
    /// Of what, in words.
    pub of: String,
    /// The value, g/mL.
    pub g_per_ml: f64,
    /// Temperature at which it holds, °C; `None` where that is not known.
    pub temperature_c: Option<f64>,
    /// Key of the bibliography, or words.
    pub source: String,
}

/// Density of an aqueous solution by mass percent.
#[derive(Debug, Clone, Deserialize)]
struct AqueousTable {
    substance: String,
    temperature_c: f64,
    source: String,
    rows: Vec<(f64, f64)>,
}

#[derive(Debug, Deserialize)]
struct PureLiquid {
    substance: String,
    value: f64,
    temperature_c: f64,
    source: String,
}

/// The international alcoholometric formula at 20 °C.
#[derive(Debug, Deserialize)]
struct EthanolFormula {
    source: String,
    coefficients_kg_per_m3: Vec<f64>,
}

#[derive(Debug, Deserialize)]
struct Densities {
    pure: Vec<PureLiquid>,
    aqueous: Vec<AqueousTable>,
    ethanol_by_volume: EthanolFormula,
}

#[expect(
    clippy::expect_used,
    reason = "the tables are embedded; a test reads all of them"
)]
static DENSITIES: LazyLock<Densities> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../../../../references/densities.json"))
        .expect("references/densities.json holds the density tables")
});

const ETHANOL: &str = "ethanol";

/// Density of a pure liquid at 20 °C.
///
/// # Shape and units
/// `substance` is an identifier; g/mL. `None` where the list has none.
///
/// # Source
/// `references/densities.json`, which names one for each value.
///
/// # Examples
/// ```
/// let acid = dyebook_methods::composition::pure_density("acetic-acid").unwrap();
/// assert!((acid.g_per_ml - 1.0477).abs() < 1e-9);
/// ```
pub fn pure_density(substance: &str) -> Option<DensityUsed> {
    if substance == ETHANOL {
        return Some(ethanol_density(1.0, "pure ethanol".to_owned()));
    }
    let pure = DENSITIES.pure.iter().find(|p| p.substance == substance)?;
    Some(DensityUsed {
        of: format!("pure {}", super::shown_name(substance)),
        g_per_ml: pure.value,
        temperature_c: Some(pure.temperature_c),
        source: pure.source.clone(),
    })
}

/// Density of an aqueous solution at 20 °C.
///
/// # Shape and units
/// `substance` is an identifier, `mass_percent` g of the pure substance in 100 g; g/mL. `None`
/// where there is no table or the table ends before that strength: never extrapolated.
///
/// # Formula
/// ```text
/// straight line between the two rows beside the mass percent; below the first row from water
/// ethanol: density = Σ A_k p^k, p the mass fraction
/// ```
/// Rows lie so close that the line is within 0.0008 g/mL of the full table; two handbooks differ
/// by up to 0.0021 g/mL for acetic acid.
///
/// # Source
/// CRC102 (concentrative properties of aqueous solutions); OIML-R22-1975 for ethanol.
///
/// # Examples
/// ```
/// let salt = dyebook_methods::composition::aqueous_density("sodium-chloride", 2.0).unwrap();
/// assert!((salt.g_per_ml - 1.0125).abs() < 1e-9);
/// assert!(dyebook_methods::composition::aqueous_density("ammonia", 35.0).is_none());
/// ```
pub fn aqueous_density(substance: &str, mass_percent: f64) -> Option<DensityUsed> {
    if !(0.0..=100.0).contains(&mass_percent) {
        return None;
    }
    let of = format!("{} {mass_percent:.4} % w/w", super::shown_name(substance));
    if substance == ETHANOL {
        return Some(ethanol_density(mass_percent / 100.0, of));
    }
    let table = DENSITIES
        .aqueous
        .iter()
        .find(|t| t.substance == substance)?;
    let mut below = (0.0, pure_density(super::WATER)?.g_per_ml);
    for &above in &table.rows {
        if mass_percent <= above.0 {
            let share = (mass_percent - below.0) / (above.0 - below.0);
            return Some(DensityUsed {
                of,
                g_per_ml: below.1 + share * (above.1 - below.1),
                temperature_c: Some(table.temperature_c),
                source: table.source.clone(),
            });
        }
        below = above;
    }
    None
}

fn ethanol_density(mass_fraction: f64, of: String) -> DensityUsed {
    let formula = &DENSITIES.ethanol_by_volume;
    let kg_per_m3 = formula
        .coefficients_kg_per_m3
        .iter()
        .rev()
        .fold(0.0, |sum, a| sum * mass_fraction + a);
    DensityUsed {
        of,
        g_per_ml: kg_per_m3 / 1000.0,
        temperature_c: Some(20.0),
        source: formula.source.clone(),
    }
}

/// Mass percent and density of an aqueous solution that holds so many grams in a millilitre.
///
/// The mass in a millilitre grows with the mass percent in every table, so halving finds it; a
/// plain division by the density would need the density that is looked for.
pub(crate) fn solution_of(substance: &str, g_per_ml: f64) -> Option<(f64, DensityUsed)> {
    let content =
        |percent: f64| aqueous_density(substance, percent).map(|d| percent / 100.0 * d.g_per_ml);
    let (mut low, mut high) = (0.0, highest_percent(substance)?);
    if g_per_ml > content(high)? * (1.0 + 1e-12) {
        return None;
    }
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if content(middle)? < g_per_ml {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some((high, aqueous_density(substance, high)?))
}

fn highest_percent(substance: &str) -> Option<f64> {
    if substance == ETHANOL {
        return Some(100.0);
    }
    let table = DENSITIES
        .aqueous
        .iter()
        .find(|t| t.substance == substance)?;
    table.rows.last().map(|row| row.0)
}

#[cfg(test)]
mod tests {
    use super::{aqueous_density, pure_density, solution_of};

    #[test]
    fn rows_of_the_handbook_come_back_as_printed() {
        // CRC Handbook, 102nd ed., concentrative properties of aqueous solutions at 20 °C.
        for (substance, percent, density) in [
            ("acetic-acid", 5.0, 1.0052),
            ("acetic-acid", 100.0, 1.0477),
            ("ammonia", 28.0, 0.898),
            ("propan-2-ol", 40.0, 0.9302),
            ("sodium-chloride", 0.1, 0.9989),
        ] {
            let found = aqueous_density(substance, percent).unwrap();
            assert!(
                (found.g_per_ml - density).abs() < 6e-5,
                "{substance} {percent}"
            );
            assert_eq!(found.source, "CRC102");
        }
    }

    #[test]
    fn ethanol_follows_the_alcoholometric_formula() {
        // OIML R 22 (1975): 40, 70 and 96 % vol have 948.05, 885.56 and 807.42 kg/m³.
        for (volume_percent, density) in [(40.0, 0.94805), (70.0, 0.88556), (96.0, 0.80742)] {
            let g_per_ml = volume_percent / 100.0 * pure_density("ethanol").unwrap().g_per_ml;
            let (_, found) = solution_of("ethanol", g_per_ml).unwrap();
            assert!((found.g_per_ml - density).abs() < 5e-6, "{volume_percent}");
        }
        // The handbook's rows agree with the formula within 0.0003 g/mL.
        for (percent, density) in [(10.0, 0.9819), (50.0, 0.9139), (96.0, 0.8013)] {
            let found = aqueous_density("ethanol", percent).unwrap().g_per_ml;
            assert!((found - density).abs() < 3e-4, "{percent}");
        }
    }

    #[test]
    fn nothing_is_extrapolated() {
        assert!(aqueous_density("ammonia", 31.0).is_none());
        assert!(aqueous_density("citric-acid", 5.0).is_none());
        assert!(solution_of("ammonia", 0.5).is_none());
    }
}
