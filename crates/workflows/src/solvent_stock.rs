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
