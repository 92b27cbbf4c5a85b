//! A component of a developing solvent in words.

use dyebook_documents::Component;
use std::fmt::Write as _;

/// `acetic acid, 0.8 % v/v, from glacial acetic acid (99.7 % w/w)`.
pub fn component_words(component: &Component) -> String {
    let mut words = component.substance.clone();
    if component.make_up_to_volume == Some(true) {
        words.push_str(", to make up to volume");
    }
    if let Some(amount) = component.amount {
        let basis = component
            .basis
            .map_or("(basis not stated)", |basis| basis.symbol());
        // Writing into a string can't fail.
        let _ = write!(words, ", {amount} {basis}");
    }
    if let Some(stock) = &component.stock {
        let _ = write!(
            words,
            ", from {} ({} {})",
            stock.name.as_deref().unwrap_or("a stock"),
            stock.strength,
            stock.basis.symbol()
        );
    }
    words
}
