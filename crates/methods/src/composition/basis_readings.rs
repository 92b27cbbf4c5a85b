//! What an amount without a basis may mean, and how far apart the readings lie.

use super::densities::aqueous_density;
use super::stock_content::{liquid_density, stock_content};
use super::stocks::stocks_of;
use super::substances::{substance, substance_key};
use dyebook_documents::{Basis, Stock};
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeSet;

/// One way to read an amount.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BasisReading {
    /// The basis.
    pub basis: &'static str,
    /// Of what: a stock as it is poured, or the pure substance.
    pub of: String,
    /// Grams of pure substance in a litre under this reading.
    pub g_per_l: f64,
}

/// The readings of an amount without a basis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BasisReadings {
    /// The substance as written.
    pub substance: String,
    /// The amount as written.
    pub amount: f64,
    /// The basis as written, where one stands there and is none of the known ones.
    pub written: Option<String>,
    /// The readings, most first.
    pub readings: Vec<BasisReading>,
}

impl BasisReadings {
    /// How many times the largest reading is the smallest one.
    pub fn fold(&self) -> Option<f64> {
        let first = self.readings.first()?.g_per_l;
        Some(first / self.readings.last()?.g_per_l)
    }

    /// In a sentence, with the grams in a litre of each reading.
    pub fn message(&self) -> String {
        let head = match &self.written {
            Some(written) => format!(
                "`{}` of {} {} is no known basis",
                written, self.amount, self.substance
            ),
            None => format!("{} of {} has no basis", self.amount, self.substance),
        };
        let readings: Vec<String> = self
            .readings
            .iter()
            .map(|r| format!("{} g/L as `{}` of {}", digits(r.g_per_l), r.basis, r.of))
            .collect();
        match self.fold() {
            Some(fold) if self.readings.len() > 1 => format!(
                "{head}: {}; the readings lie {}-fold apart",
                readings.join(", "),
                digits_of_fold(fold)
            ),
            _ => format!("{head}; it is one of {}", all_bases()),
        }
    }
}

/// The readings of a component's amount, when its basis is missing or unknown.
///
/// `component` is the component as JSON, before the schema has seen it. `None` where the basis is
/// a known one, or there is no amount or no substance to read.
pub fn basis_readings(component: &Value) -> Option<BasisReadings> {
    let written = component.get("basis").and_then(Value::as_str);
    if written.is_some_and(|w| Basis::ALL.iter().any(|b| b.symbol() == w)) {
        return None;
    }
    let amount = component.get("amount")?.as_f64()?;
    let name = component.get("substance")?.as_str()?;
    let stock = component
        .get("stock")
        .and_then(|s| serde_json::from_value::<Stock>(s.clone()).ok());
    Some(readings_without_basis(
        name,
        amount,
        stock.as_ref(),
        written,
    ))
}

/// The components of a method document whose amount has no known basis, with their places.
pub fn missing_bases(method: &Value) -> Vec<(String, BasisReadings)> {
    let components = method
        .pointer("/developer/components")
        .and_then(Value::as_array);
    components
        .into_iter()
        .flatten()
        .enumerate()
        .filter_map(|(index, component)| {
            let place = format!("/developer/components/{index}/basis");
            basis_readings(component).map(|readings| (place, readings))
        })
        .collect()
}

pub(crate) fn readings_without_basis(
    name: &str,
    amount: f64,
    stock: Option<&Stock>,
    written: Option<&str>,
) -> BasisReadings {
    let mut readings = match stock {
        Some(stock) => as_poured(name, amount, stock).into_iter().collect(),
        None => of_usual_bottles(name, amount),
    };
    let known = super::shown_name(name);
    readings.push(BasisReading {
        basis: Basis::MassVolumePercent.symbol(),
        of: format!("pure {known}"),
        g_per_l: 10.0 * amount,
    });
    if readings.len() == 1 {
        // A solid without a stock: mass percents of the liquid are the other common meaning.
        readings.extend(mass_percent(name, &known, amount));
        readings.push(BasisReading {
            basis: Basis::GramPerLitre.symbol(),
            of: format!("pure {known}"),
            g_per_l: amount,
        });
    }
    readings.sort_by(|a, b| b.g_per_l.total_cmp(&a.g_per_l));
    BasisReadings {
        substance: name.to_owned(),
        amount,
        written: written.map(str::to_owned),
        readings,
    }
}

/// One reading for each family of bottles (glacial acid, vinegar), the usual one of each: the
/// list has that first, and families by the first word of their names.
fn of_usual_bottles(name: &str, amount: f64) -> Vec<BasisReading> {
    let key = substance_key(name);
    let mut families = BTreeSet::new();
    let bottles: Vec<BasisReading> = stocks_of(&key)
        .filter(|bottle| families.insert(bottle.name.split(' ').next()))
        .filter_map(|bottle| as_poured(name, amount, &bottle.as_stock()))
        .collect();
    if !bottles.is_empty() {
        return bottles;
    }
    liquid_density(name, substance(name), Basis::VolumePercent)
        .ok()
        .map(|density| BasisReading {
            basis: Basis::VolumePercent.symbol(),
            of: density.of.clone(),
            g_per_l: 10.0 * amount * density.g_per_ml,
        })
        .into_iter()
        .collect()
}

fn as_poured(name: &str, amount: f64, stock: &Stock) -> Option<BasisReading> {
    let content = stock_content(name, stock).ok()?;
    let strength = format!("{} {}", stock.strength, stock.basis.symbol());
    let of = match &stock.name {
        Some(bottle) => format!("{bottle} ({strength})"),
        None => format!("a stock of {strength}"),
    };
    Some(BasisReading {
        basis: Basis::VolumePercent.symbol(),
        of,
        g_per_l: 10.0 * amount * content.solute_g_per_ml,
    })
}

fn mass_percent(name: &str, known: &str, amount: f64) -> Option<BasisReading> {
    let density = aqueous_density(&substance_key(name), amount)?;
    Some(BasisReading {
        basis: Basis::MassPercent.symbol(),
        of: format!("pure {known}"),
        g_per_l: 10.0 * amount * density.g_per_ml,
    })
}

/// Three significant digits.
pub fn digits(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a logarithm of a finite number is small"
    )]
    let magnitude = value.abs().log10().floor() as i32;
    let decimals = usize::try_from(2 - magnitude).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn digits_of_fold(fold: f64) -> String {
    if fold >= 9.5 {
        format!("about {fold:.0}")
    } else {
        format!("about {fold:.1}")
    }
}

fn all_bases() -> String {
    let all: Vec<String> = Basis::ALL
        .iter()
        .map(|b| format!("`{}`", b.symbol()))
        .collect();
    all.join(", ")
}

#[cfg(test)]
mod tests {
    use super::{basis_readings, digits};
    use serde_json::{Value, json};

    #[test]
    fn one_percent_acetic_acid_is_read_twenty_one_fold_apart() {
        // Recomputed with glacial acid 1.049 g/mL and 99.7 % w/w (from memory), vinegar 5 % w/v.
        let text = include_str!(
            "../../../../tests/published/chemistry/computed-one-percent-acetic-acid.json"
        );
        let published: Value = serde_json::from_str(text).unwrap();
        let readings =
            basis_readings(&json!({"substance": "acetic acid", "amount": 1, "basis": "%"}))
                .unwrap();
        let mut expected: Vec<f64> = published["readings"]
            .as_array()
            .unwrap()
            .iter()
            .map(|reading| 10.0 * reading["percent_wv"].as_f64().unwrap())
            .collect();
        expected.sort_by(|a, b| b.total_cmp(a));
        assert_eq!(readings.readings.len(), expected.len());
        for (reading, expected) in readings.readings.iter().zip(expected) {
            assert!((reading.g_per_l - expected).abs() < 1e-5, "{reading:?}");
        }
        let fold = readings.fold().unwrap();
        assert!((fold - published["largest_over_smallest"].as_f64().unwrap()).abs() < 1e-4);
        assert_eq!(
            readings.message(),
            "`%` of 1 acetic acid is no known basis: 10.5 g/L as `% v/v` of glacial acetic acid \
             (99.7 % w/w), 10 g/L as `% w/v` of pure acetic acid, 0.5 g/L as `% v/v` of \
             vinegar 5 % (5 % w/v); the readings lie about 21-fold apart"
        );
    }

    #[test]
    fn a_known_basis_has_no_other_reading() {
        let good = json!({"substance": "acetic acid", "amount": 1, "basis": "% w/v"});
        assert_eq!(basis_readings(&good), None);
        let salt = basis_readings(&json!({"substance": "NaCl", "amount": 1})).unwrap();
        assert_eq!(salt.readings.len(), 3);
        assert!((salt.fold().unwrap() - 10.053).abs() < 1e-9);
    }

    #[test]
    fn three_digits_are_shown() {
        for (value, text) in [
            (10.459, "10.5"),
            (0.5, "0.5"),
            (1234.0, "1234"),
            (0.04567, "0.0457"),
        ] {
            assert_eq!(digits(value), text);
        }
    }
}
