//! The substances that developing solvents are made of, by any of their names.

use dyebook_documents::fold_name;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// A number with where it is from.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Sourced {
    /// The number.
    pub value: f64,
    /// Key of the bibliography, or words.
    pub source: String,
    /// Temperature at which it holds, °C, where that matters.
    #[serde(default)]
    pub temperature_c: Option<f64>,
}

/// An acid's constants.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Acid {
    /// First pKa.
    pub pka: f64,
    /// The others, from the second.
    #[serde(default)]
    pub further_pka: Vec<f64>,
}

/// A base's constant.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Base {
    /// pKa of the acid that the base becomes.
    pub pka_of_its_acid: f64,
}

/// Why a substance wants a caution.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct HazardNote {
    /// In words; never a class.
    pub flag: String,
}

/// One substance.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Substance {
    /// Identifier, e.g. `acetic-acid`.
    pub id: String,
    /// The name shown.
    pub name: String,
    /// Further names.
    pub synonyms: Vec<String>,
    /// Molar mass, g/mol.
    pub molar_mass: Sourced,
    /// Whether the pure substance is a liquid that can be poured at 20 °C.
    pub liquid_when_pure: bool,
    /// Density of the pure liquid, g/mL.
    pub pure_density_g_per_ml: Option<Sourced>,
    /// Set for an acid.
    pub acid: Option<Acid>,
    /// Set for a base.
    pub base: Option<Base>,
    /// Set where a caution is to be expected.
    pub hazard_note: Option<HazardNote>,
}

/// Identifier of water, the remainder of every composition.
pub const WATER: &str = "water";

#[expect(
    clippy::expect_used,
    reason = "the list is embedded; a test reads all of it"
)]
static SUBSTANCES: LazyLock<Vec<Substance>> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../../../../references/substances.json"))
        .expect("references/substances.json is a list of substances")
});

static BY_NAME: LazyLock<BTreeMap<String, usize>> = LazyLock::new(|| {
    let mut by_name = BTreeMap::new();
    for (index, substance) in SUBSTANCES.iter().enumerate() {
        let own = [&substance.id, &substance.name];
        for name in own.into_iter().chain(&substance.synonyms) {
            by_name.insert(fold_name(name), index);
        }
    }
    by_name
});

/// All substances known, in the order of the list.
pub fn substances() -> &'static [Substance] {
    &SUBSTANCES
}

/// The substance that goes by a name, without regard to case, spaces and hyphens.
pub fn substance(name: &str) -> Option<&'static Substance> {
    BY_NAME
        .get(&fold_name(name))
        .and_then(|index| SUBSTANCES.get(*index))
}

/// The name by which a composition counts a substance: the identifier of a known one, else the
/// name itself in small letters without spaces and hyphens.
pub fn substance_key(name: &str) -> String {
    substance(name).map_or_else(|| fold_name(name), |known| known.id.clone())
}

/// The nearest known name, where a slip of the pen is likely.
pub fn near_substance(name: &str) -> Option<&'static str> {
    let folded = fold_name(name);
    SUBSTANCES
        .iter()
        .flat_map(|s| std::iter::once(&s.name).chain(&s.synonyms))
        .map(|known| {
            (
                strsim::damerau_levenshtein(&folded, &fold_name(known)),
                known.as_str(),
            )
        })
        .filter(|(distance, _)| *distance * 3 <= folded.chars().count())
        .min()
        .map(|(_, known)| known)
}

#[cfg(test)]
mod tests {
    use super::{near_substance, substance, substance_key, substances};
    use std::collections::BTreeSet;

    #[test]
    fn any_name_finds_its_substance_and_no_name_finds_two() {
        for (name, id) in [
            ("Ethanoic acid", "acetic-acid"),
            ("NaCl", "sodium-chloride"),
            ("2-propanol", "propan-2-ol"),
            ("Isopropyl alcohol", "propan-2-ol"),
        ] {
            assert_eq!(substance(name).unwrap().id, id);
        }
        let mut seen = BTreeSet::new();
        for known in substances() {
            let names: BTreeSet<String> = [&known.id, &known.name]
                .into_iter()
                .chain(&known.synonyms)
                .map(|n| super::fold_name(n))
                .collect();
            for name in names {
                assert!(seen.insert(name.clone()), "`{name}` names two substances");
            }
        }
    }

    #[test]
    fn an_unknown_substance_keeps_its_own_name() {
        assert_eq!(substance_key("Magic Salt"), "magicsalt");
        assert_eq!(near_substance("acetic acd"), Some("acetic acid"));
        assert_eq!(near_substance("unobtainium"), None);
    }
}
