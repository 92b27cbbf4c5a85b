//! A bottle that the prep room has.

use crate::composition::{
    CompositionError, KnownStock, StockContent, known_stock, stock_content, substance,
    substance_key,
};
use dyebook_documents::{Basis, Stock};
use serde::Serialize;

/// A bottle that the prep room has.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StockAtHand {
    /// What stands on the label.
    pub name: String,
    /// Identifier of the substance in it.
    pub substance: String,
    /// Its strength.
    #[serde(flatten)]
    pub stock: Stock,
    /// How much of it there is, mL, where that was said.
    pub available_ml: Option<f64>,
}

/// A text that names no bottle.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{text}` is no stock: {why}")]
pub struct NotAStock {
    /// The text.
    pub text: String,
    /// What is wrong with it.
    pub why: String,
}

impl NotAStock {
    /// A name that never changes.
    pub fn id(&self) -> &'static str {
        "recipe.not-a-stock"
    }

    /// What to do about it.
    pub fn hints(&self) -> Vec<String> {
        vec![
            "name a known bottle such as `vinegar 5 %`, or write `acetic acid = 5 % w/v`"
                .to_owned(),
        ]
    }
}

impl StockAtHand {
    /// A known bottle.
    pub fn known(bottle: &KnownStock) -> Self {
        Self {
            name: bottle.name.clone(),
            substance: bottle.substance.clone(),
            stock: bottle.as_stock(),
            available_ml: None,
        }
    }

    /// The bottle that a method's component names.
    pub(super) fn of_method(substance: &str, stock: &Stock) -> Self {
        let name = stock.name.clone().unwrap_or_else(|| strength_words(stock));
        Self {
            name,
            substance: substance_key(substance),
            stock: stock.clone(),
            available_ml: None,
        }
    }

    /// What a millilitre holds.
    pub(super) fn content(&self) -> Result<StockContent, CompositionError> {
        stock_content(&self.substance, &self.stock)
    }
}

pub(super) fn strength_words(stock: &Stock) -> String {
    format!("{} {}", stock.strength, stock.basis.symbol())
}

impl std::str::FromStr for StockAtHand {
    type Err = NotAStock;

    /// Reads a known bottle's name, or `substance = strength basis`; behind either may stand
    /// `, 300 mL`, how much of it there is.
    fn from_str(text: &str) -> Result<Self, NotAStock> {
        let (bottle, available_ml) = without_volume(text);
        let mut stock = Self::of_text(bottle)?;
        stock.available_ml = available_ml;
        Ok(stock)
    }
}

impl StockAtHand {
    fn of_text(text: &str) -> Result<Self, NotAStock> {
        if let Some(bottle) = known_stock(text) {
            return Ok(Self::known(bottle));
        }
        let bad = |why: &str| NotAStock {
            text: text.to_owned(),
            why: why.to_owned(),
        };
        let (name, strength) = text
            .split_once('=')
            .ok_or_else(|| bad("no known bottle goes by that name"))?;
        let known = substance(name.trim())
            .ok_or_else(|| bad("the substance before the `=` is not known"))?;
        let (amount, basis) = amount_and_basis(strength)
            .ok_or_else(|| bad("after the `=` stands a strength with its basis"))?;
        let stock = Stock {
            name: None,
            strength: amount,
            basis,
        };
        Ok(Self {
            name: format!("{} {}", known.name, strength_words(&stock)),
            substance: known.id.clone(),
            stock,
            available_ml: None,
        })
    }
}

/// Takes `, 300 mL` off the end.
fn without_volume(text: &str) -> (&str, Option<f64>) {
    let volume = text.rsplit_once(',').and_then(|(bottle, end)| {
        let number = end.trim().strip_suffix("mL")?.trim();
        Some((bottle, number.parse::<f64>().ok().filter(|ml| *ml > 0.0)?))
    });
    volume.map_or((text, None), |(bottle, ml)| (bottle.trim(), Some(ml)))
}

/// Reads `5 % w/v`, `2 mol/L`.
pub(crate) fn amount_and_basis(text: &str) -> Option<(f64, Basis)> {
    let text = text.trim();
    let split = text.find(|c: char| !(c.is_ascii_digit() || c == '.'))?;
    let (number, unit) = text.split_at(split);
    let bare: String = unit.split_whitespace().collect();
    let basis = Basis::ALL.into_iter().find(|basis| {
        let symbol: String = basis.symbol().split_whitespace().collect();
        symbol == bare
    })?;
    let amount: f64 = number.parse().ok()?;
    (amount > 0.0).then_some((amount, basis))
}

#[cfg(test)]
mod tests {
    use super::{StockAtHand, amount_and_basis};
    use dyebook_documents::Basis;

    #[test]
    fn bottles_are_named_or_described() {
        let vinegar: StockAtHand = "White vinegar".parse().unwrap();
        assert_eq!(vinegar.substance, "acetic-acid");
        let own: StockAtHand = "ammonia = 2 mol/L".parse().unwrap();
        assert_eq!(
            (own.stock.strength, own.stock.basis),
            (2.0, Basis::MolePerLitre)
        );
        let little: StockAtHand = "vinegar 5 %, 300 mL".parse().unwrap();
        assert_eq!(
            (little.substance.as_str(), little.available_ml),
            ("acetic-acid", Some(300.0))
        );
        assert!("vinegar of some kind".parse::<StockAtHand>().is_err());
        assert!("acetic acid = 5 %".parse::<StockAtHand>().is_err());
        assert_eq!(
            amount_and_basis("12 g/L"),
            Some((12.0, Basis::GramPerLitre))
        );
        assert_eq!(
            amount_and_basis("0.8% v/v"),
            Some((0.8, Basis::VolumePercent))
        );
    }
}
