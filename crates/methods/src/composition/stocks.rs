//! Bottles that prep rooms have, by name.

use super::substances::Sourced;
use dyebook_documents::{Basis, Stock, fold_name};
use serde::Deserialize;
use std::sync::LazyLock;

/// A stock of known strength.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct KnownStock {
    /// Identifier, e.g. `vinegar-5`.
    pub id: String,
    /// What stands on the bottle.
    pub name: String,
    /// Further names.
    pub synonyms: Vec<String>,
    /// Identifier of the substance in it.
    pub substance: String,
    /// Strength.
    pub strength: f64,
    /// What the strength means.
    pub basis: Basis,
    /// Density of the stock, g/mL, where it is known apart from the tables.
    pub density_g_per_ml: Option<Sourced>,
    /// Anything to know about it.
    #[serde(default)]
    pub note: Option<String>,
}

impl KnownStock {
    /// The stock as a method names it.
    pub fn as_stock(&self) -> Stock {
        Stock {
            name: Some(self.name.clone()),
            strength: self.strength,
            basis: self.basis,
        }
    }

    fn goes_by(&self, name: &str) -> bool {
        let folded = fold_name(name);
        [&self.id, &self.name]
            .into_iter()
            .chain(&self.synonyms)
            .any(|own| fold_name(own) == folded)
    }
}

#[expect(
    clippy::expect_used,
    reason = "the list is embedded; a test reads all of it"
)]
static STOCKS: LazyLock<Vec<KnownStock>> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../../../../references/stocks.json"))
        .expect("references/stocks.json is a list of stocks")
});

/// All stocks known, in the order of the list.
pub fn known_stocks() -> &'static [KnownStock] {
    &STOCKS
}

/// The stock that goes by a name.
pub fn known_stock(name: &str) -> Option<&'static KnownStock> {
    STOCKS.iter().find(|stock| stock.goes_by(name))
}

/// The known bottle that a method's stock is: same name, same strength, same basis.
pub(crate) fn same_bottle(substance: &str, stock: &Stock) -> Option<&'static KnownStock> {
    let name = stock.name.as_deref()?;
    STOCKS.iter().find(|known| {
        known.substance == substance
            && known.goes_by(name)
            && known.basis == stock.basis
            && (known.strength - stock.strength).abs() < 1e-9
    })
}

/// Known stocks of a substance, strongest first as the list has them.
pub fn stocks_of(substance: &str) -> impl Iterator<Item = &'static KnownStock> + use<'_> {
    STOCKS
        .iter()
        .filter(move |stock| stock.substance == substance)
}

#[cfg(test)]
mod tests {
    use super::{known_stock, known_stocks};
    use crate::composition::substance;

    #[test]
    fn every_stock_is_of_a_known_substance() {
        for stock in known_stocks() {
            assert!(substance(&stock.substance).is_some(), "{}", stock.id);
            assert!(stock.strength > 0.0, "{}", stock.id);
        }
        assert_eq!(known_stock("White vinegar").unwrap().id, "vinegar-5");
    }
}
