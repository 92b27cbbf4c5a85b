//! The pH that a developing solvent should have, from what is in it.

use super::canonical::CanonicalComposition;
use super::densities::pure_density;
use super::substances::{Substance, substance};
use serde::Serialize;

/// A predicted pH with what was taken for granted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PredictedPh {
    /// The pH.
    pub ph: f64,
    /// What was taken for granted, in words.
    pub assumptions: Vec<String>,
}

/// Why no pH is predicted.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NotPredictable {
    /// No acid and no base.
    #[error(
        "there is no acid and no base in it: near neutral, and the air's carbon dioxide decides"
    )]
    NeitherAcidNorBase,
    /// Something whose constants are not known.
    #[error("the constants of `{substance}` are not known")]
    Unknown {
        /// Which substance.
        substance: String,
    },
    /// Too little water.
    #[error("it holds about {percent} % v/v of other liquids, and the constants hold in water")]
    NotAqueous {
        /// Other liquids, % v/v.
        percent: String,
    },
}

impl NotPredictable {
    /// A name that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::NeitherAcidNorBase => "ph.neither-acid-nor-base",
            Self::Unknown { .. } => "ph.unknown-substance",
            Self::NotAqueous { .. } => "ph.not-aqueous",
        }
    }
}

/// Above this share of other liquids, mL/L, constants measured in water mislead (common
/// practice, no source).
const MOST_OTHER_LIQUID_ML_PER_L: f64 = 200.0;

/// Ion product of water at 25 °C as pKw (from memory).
const PK_WATER: f64 = 14.0;

/// Salts by what they become in water: identifier, acid, how many of it, base, how many of it.
/// The charge of a salt's own strong ions is that of the partner named.
const SALTS: [(&str, &str, f64, &str, f64); 4] = [
    (
        "ammonium-chloride",
        "hydrochloric-acid",
        1.0,
        "ammonia",
        1.0,
    ),
    ("ammonium-sulfate", "hydrochloric-acid", 2.0, "ammonia", 2.0),
    (
        "trisodium-citrate",
        "citric-acid",
        1.0,
        "sodium-hydroxide",
        3.0,
    ),
    (
        "trisodium-citrate-dihydrate",
        "citric-acid",
        1.0,
        "sodium-hydroxide",
        3.0,
    ),
];

/// Salts of a strong acid and a strong base: they leave the pH as it is, activities ignored.
const NEUTRAL_SALTS: [&str; 2] = ["sodium-chloride", "sodium-sulfate"];

/// Acids and bases in a litre, mol.
#[derive(Default)]
struct Ions {
    acids: Vec<(f64, Vec<f64>)>,
    bases: Vec<(f64, f64)>,
}

impl Ions {
    fn add_acid(&mut self, substance: &Substance, mol_per_l: f64) {
        if let Some(acid) = &substance.acid {
            let pkas = std::iter::once(acid.pka).chain(acid.further_pka.iter().copied());
            self.acids.push((mol_per_l, pkas.collect()));
        }
    }

    fn add_base(&mut self, substance: &Substance, mol_per_l: f64) {
        if let Some(base) = &substance.base {
            self.bases.push((mol_per_l, base.pka_of_its_acid));
        }
    }

    /// Positive minus negative charge in a litre at a pH, mol. Falls as the pH rises.
    fn charge(&self, ph: f64) -> f64 {
        let h = 10.0_f64.powf(-ph);
        let bases: f64 = self
            .bases
            .iter()
            .map(|(c, pka)| c * h / (h + 10.0_f64.powf(-pka)))
            .sum();
        let acids: f64 = self
            .acids
            .iter()
            .map(|(c, pkas)| c * protons_lost(h, pkas))
            .sum();
        h - 10.0_f64.powf(ph - PK_WATER) + bases - acids
    }
}

/// Mean number of protons that an acid has lost.
fn protons_lost(h: f64, pkas: &[f64]) -> f64 {
    let (mut weight, mut weights, mut lost, mut count) = (1.0, 1.0, 0.0, 0.0);
    for pka in pkas {
        count += 1.0;
        weight *= 10.0_f64.powf(-pka) / h;
        weights += weight;
        lost += count * weight;
    }
    lost / weights
}

/// The pH that a developing solvent should have.
///
/// # Shape and units
/// A canonical composition; pH without unit.
///
/// # Formula
/// ```text
/// [H] + Σ c_base·[H]/([H] + Ka) = Kw/[H] + Σ c_acid·(protons lost at [H])
/// ```
/// Solved by halving between pH −1 and 15. For a weak acid alone it is `x²/(c − x) = Ka`.
/// Activities are ignored: salt lowers the pH of a weak acid by about 0.1. Constants hold in
/// water at 25 °C, so nothing is predicted above 200 mL/L of other liquids.
///
/// # Errors
/// [`NotPredictable`].
///
/// # Source
/// Charge balance; pKa from `references/substances.json` (from memory), pKw 14 (from memory).
///
/// # Examples
/// ```
/// # use dyebook_methods::composition::{canonical, predicted_ph};
/// let recipe = serde_json::from_str(r#"{"components": [
///     {"substance": "water", "make_up_to_volume": true},
///     {"substance": "acetic acid", "amount": 1, "basis": "% w/v"}]}"#)?;
/// assert!((predicted_ph(&canonical(&recipe)?)?.ph - 2.77).abs() < 0.005);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn predicted_ph(liquid: &CanonicalComposition) -> Result<PredictedPh, NotPredictable> {
    check_aqueous(liquid)?;
    let mut ions = Ions::default();
    for content in &liquid.substances {
        add(&mut ions, &content.substance, content.g_per_l)?;
    }
    if ions.acids.is_empty() && ions.bases.is_empty() {
        return Err(NotPredictable::NeitherAcidNorBase);
    }
    let (mut low, mut high) = (-1.0, 15.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if ions.charge(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(PredictedPh {
        ph: f64::midpoint(low, high),
        assumptions: vec![
            "pKa in water at 25 °C, from memory".to_owned(),
            "activities ignored: salt lowers the pH of a weak acid a little".to_owned(),
            "no carbon dioxide from the air".to_owned(),
        ],
    })
}

fn check_aqueous(liquid: &CanonicalComposition) -> Result<(), NotPredictable> {
    let other: f64 = liquid
        .substances
        .iter()
        .filter(|c| substance(&c.substance).is_some_and(|s| s.acid.is_none()))
        .filter_map(|c| Some(c.g_per_l / pure_density(&c.substance)?.g_per_ml))
        .sum();
    if other > MOST_OTHER_LIQUID_ML_PER_L {
        return Err(NotPredictable::NotAqueous {
            percent: super::digits(other / 10.0),
        });
    }
    Ok(())
}

fn add(ions: &mut Ions, key: &str, g_per_l: f64) -> Result<(), NotPredictable> {
    let unknown = || NotPredictable::Unknown {
        substance: key.to_owned(),
    };
    let known = substance(key).ok_or_else(unknown)?;
    let mol_per_l = g_per_l / known.molar_mass.value;
    if let Some((_, acid, acids, base, bases)) = SALTS.iter().find(|salt| salt.0 == known.id) {
        ions.add_acid(substance(acid).ok_or_else(unknown)?, acids * mol_per_l);
        ions.add_base(substance(base).ok_or_else(unknown)?, bases * mol_per_l);
        return Ok(());
    }
    ions.add_acid(known, mol_per_l);
    ions.add_base(known, mol_per_l);
    let plain = known.liquid_when_pure || NEUTRAL_SALTS.contains(&known.id.as_str());
    if known.acid.is_none() && known.base.is_none() && !plain {
        return Err(unknown());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::predicted_ph;
    use crate::composition::canonical;
    use serde_json::{Value, json};

    fn liquid(components: &Value) -> crate::composition::CanonicalComposition {
        let all = json!({ "components": components });
        canonical(&serde_json::from_value(all).unwrap()).unwrap()
    }

    fn ph_of(substance: &str, g_per_l: f64) -> f64 {
        let made = liquid(&json!([
            {"substance": "water", "make_up_to_volume": true},
            {"substance": substance, "amount": g_per_l, "basis": "g/L"}]));
        predicted_ph(&made).unwrap().ph
    }

    #[test]
    fn dilute_acetic_acid_has_the_calculated_ph() {
        // Recipe fixtures (calculated with pKa 4.756, activities ignored):
        // 0.5, 1, 2 and 5 % w/v have pH 2.92, 2.77, 2.62 and 2.42.
        for (g_per_l, ph) in [(5.0, 2.92), (10.0, 2.77), (20.0, 2.62), (50.0, 2.42)] {
            assert!(
                (ph_of("acetic acid", g_per_l) - ph).abs() < 0.005,
                "{g_per_l} g/L"
            );
        }
    }

    #[test]
    fn half_neutralised_ammonia_has_the_ph_of_its_pka() {
        // Buffer at half neutralisation: pH = pKa (Henderson-Hasselbalch).
        let made = liquid(&json!([
            {"substance": "water", "make_up_to_volume": true},
            {"substance": "ammonia", "amount": 0.5, "basis": "mol/L"},
            {"substance": "ammonium chloride", "amount": 0.5, "basis": "mol/L"}]));
        assert!((predicted_ph(&made).unwrap().ph - 9.25).abs() < 0.01);
        // 0.1 mol/L strong base: pH 13.
        assert!((ph_of("sodium hydroxide", 3.9997) - 13.0).abs() < 0.01);
        // A weak base alone: pH = 7 + (pKa + log10 c)/2, here of the third proton of citric acid.
        let citrate = 7.0 + f64::midpoint(6.4, (20.0_f64 / 258.069).log10());
        assert!((ph_of("trisodium citrate", 20.0) - citrate).abs() < 0.01);
    }

    #[test]
    fn what_is_not_known_is_not_predicted() {
        let made = |substance: &str, amount: f64| {
            liquid(&json!([
                {"substance": "water", "make_up_to_volume": true},
                {"substance": substance, "amount": amount, "basis": "% w/v"}]))
        };
        let id = |substance, amount| predicted_ph(&made(substance, amount)).unwrap_err().id();
        assert_eq!(id("sodium chloride", 1.0), "ph.neither-acid-nor-base");
        assert_eq!(id("secret salt", 1.0), "ph.unknown-substance");
        assert_eq!(id("ethanol", 40.0), "ph.not-aqueous");
    }
}
