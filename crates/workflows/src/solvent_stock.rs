//! The bottles at hand and volumes, as a person types them.

use crate::failure::Failure;
use crate::solvent_words::refused_by;
use dyebook_documents::{Basis, Stock};
use dyebook_methods::composition::{basis_readings, known_stock, substance};
use dyebook_methods::recipe::StockAtHand;
use serde_json::json;
use std::collections::BTreeMap;

/// Reads a volume such as `4 L` or `500 mL`, in mL.
///
/// # Errors
/// No number, or no unit: 4 may mean either.
pub fn volume_in_ml(text: &str) -> Result<f64, Failure> {
    let text = text.trim();
    let unit_at = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
    let (number, unit) = text.split_at(unit_at);
    let refused = |why: &str| {
        Failure::refused(
            "recipe.not-a-volume",
            format!("`{text}` is no volume: {why}"),
        )
        .hint("--volume \"4 L\"")
        .hint("--volume \"500 mL\"")
    };
    let number: f64 =
        number
            .trim()
            .parse()
            .map_err(|_not_a_number: std::num::ParseFloatError| {
                refused("a number with a decimal point and a unit are needed")
            })?;
    let factor = match unit {
        "L" | "l" => 1000.0,
        "mL" | "ml" => 1.0,
        "" => return Err(refused("the unit is missing")),
        _ => return Err(refused("the unit is L or mL")),
    };
    if number.is_finite() && number > 0.0 {
        Ok(number * factor)
    } else {
        Err(refused("nothing can be made of it"))
    }
}

/// The parts that a stock may be described by.
const KEYS: [&str; 5] = ["name", "substance", "strength", "basis", "volume"];

/// Reads a bottle at hand: `name=white vinegar,strength=5,basis=% w/v`, with `substance=` where the
/// name doesn't tell it and `volume=300 mL` for how much there is. A known bottle's name and
/// `acetic acid = 5 % w/v` are read too.
///
/// # Errors
/// A strength without basis, showing what it may mean; an unknown key, substance or number.
pub fn stock_at_hand(text: &str) -> Result<StockAtHand, Failure> {
    let Some(parts) = key_value_parts(text) else {
        return text
            .parse()
            .map_err(|error: dyebook_methods::recipe::NotAStock| {
                refused_by(error.id(), &error, error.hints())
            });
    };
    let refused = |why: String| {
        Failure::refused("recipe.not-a-stock", format!("`{text}` is no stock: {why}"))
            .hint("--stock \"name=white vinegar,strength=5,basis=% w/v\"")
    };
    if let Some(unknown) = parts.keys().find(|key| !KEYS.contains(key)) {
        return Err(refused(format!(
            "`{unknown}` is none of {}",
            KEYS.join(", ")
        )));
    }
    let name = parts.get("name").copied();
    let known = name.and_then(known_stock);
    let described = parts.get("substance").copied();
    let substance = described
        .or(name)
        .and_then(substance)
        .map(|found| found.id.clone())
        .or_else(|| known.map(|bottle| bottle.substance.clone()))
        .ok_or_else(|| {
            refused("which substance is in it isn't known; add `substance=…`".to_owned())
        })?;
    let available_ml = parts.get("volume").map(|v| volume_in_ml(v)).transpose()?;
    let stock = match (parts.get("strength"), parts.get("basis"), known) {
        (None, None, Some(bottle)) => bottle.as_stock(),
        (Some(strength), basis, _) => {
            let strength: f64 = strength
                .parse()
                .ok()
                .filter(|s: &f64| s.is_finite() && *s > 0.0)
                .ok_or_else(|| refused(format!("`{strength}` is no strength")))?;
            let basis = stock_basis(&substance, strength, basis.copied())?;
            Stock {
                name: name.map(str::to_owned),
                strength,
                basis,
            }
        }
        _ => return Err(refused("its strength is missing".to_owned())),
    };
    Ok(StockAtHand {
        name: name.map_or_else(|| substance.clone(), str::to_owned),
        substance,
        stock,
        available_ml,
    })
}

/// The parts between commas, where every one of them is `key=value`.
fn key_value_parts(text: &str) -> Option<BTreeMap<&str, &str>> {
    let begins_with_key = KEYS
        .iter()
        .any(|key| text.trim_start().split('=').next().map(str::trim) == Some(key));
    begins_with_key.then(|| {
        text.split(',')
            .map(|part| {
                let (key, value) = part.split_once('=').unwrap_or((part, ""));
                (key.trim(), value.trim())
            })
            .collect()
    })
}

fn stock_basis(substance: &str, strength: f64, written: Option<&str>) -> Result<Basis, Failure> {
    let bare = |text: &str| text.split_whitespace().collect::<String>();
    let found = written.and_then(|text| {
        Basis::ALL
            .into_iter()
            .find(|basis| bare(basis.symbol()) == bare(text))
    });
    found.ok_or_else(|| {
        let component = match written {
            Some(basis) => json!({"substance": substance, "amount": strength, "basis": basis}),
            None => json!({"substance": substance, "amount": strength}),
        };
        let failure = Failure::refused(
            "recipe.basis-missing",
            format!("a strength of {strength} says nothing without its basis"),
        );
        match basis_readings(&component) {
            Some(readings) => failure.detail(readings.message()),
            None => failure,
        }
        .hint("add `basis=% w/v`, `% w/w`, `% v/v`, `g/L` or `mol/L`, as the label says")
    })
}

#[cfg(test)]
mod tests {
    use super::{stock_at_hand, volume_in_ml};
    use dyebook_documents::Basis;

    #[test]
    fn a_volume_needs_its_unit() {
        for (text, expected) in [("4 L", 4000.0), ("0.5l", 500.0), ("250 mL", 250.0)] {
            assert!(
                (volume_in_ml(text).unwrap() - expected).abs() < 1e-9,
                "{text}"
            );
        }
        for text in ["4", "L", "4 pints", "0 L", "-1 L", "4,5 L", "inf L"] {
            assert_eq!(
                volume_in_ml(text).unwrap_err().id,
                "recipe.not-a-volume",
                "{text}"
            );
        }
    }

    #[test]
    fn a_bottle_is_described_by_its_label() {
        let vinegar =
            stock_at_hand("name=white vinegar, strength=5, basis=%w/v, volume=300 mL").unwrap();
        assert_eq!(vinegar.substance, "acetic-acid");
        assert_eq!(vinegar.stock.basis, Basis::MassVolumePercent);
        assert_eq!(vinegar.available_ml, Some(300.0));
        let described =
            stock_at_hand("name=shelf 3,substance=ammonia,strength=2,basis=mol/L").unwrap();
        assert_eq!(
            (described.name.as_str(), described.substance.as_str()),
            ("shelf 3", "ammonia")
        );
        // A known bottle and the short form are read too.
        assert_eq!(
            stock_at_hand("vinegar 5 %").unwrap().substance,
            "acetic-acid"
        );
        assert_eq!(
            stock_at_hand("acetic acid = 5 % w/v").unwrap().substance,
            "acetic-acid"
        );
    }

    #[test]
    fn a_strength_without_basis_is_refused_with_what_it_may_mean() {
        let refused = stock_at_hand("name=acetic acid,strength=5").unwrap_err();
        assert_eq!(refused.id, "recipe.basis-missing");
        // 5 % v/v of glacial is 52.3 g/L, of 5 % vinegar 2.5 g/L: about 21-fold.
        assert!(
            refused.details[0].contains("about 21-fold"),
            "{:?}",
            refused.details
        );
        let percent = stock_at_hand("name=acetic acid,strength=5,basis=%").unwrap_err();
        assert_eq!(percent.id, "recipe.basis-missing");
        for text in [
            "name=winter vinegar,strength=5,basis=% w/v",
            "name=vinegar 5 %,colour=red",
            "name=acetic acid,strength=much,basis=g/L",
            "substance=acetic acid",
        ] {
            assert_eq!(
                stock_at_hand(text).unwrap_err().id,
                "recipe.not-a-stock",
                "{text}"
            );
        }
    }
}
