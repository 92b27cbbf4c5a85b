//! Rounding for display. Values are compared and kept at full precision.

use rust_decimal::prelude::FromPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

/// The rule, as shown beside rounded values.
pub const ROUNDING_RULE: &str = "rounded half to even at two decimals (ISO 80000-1, rule A)";

/// A decimal number rounded half to even.
///
/// # Shape and units
/// Any unit; `decimals` digits behind the point stay.
///
/// # Source
/// ISO 80000-1:2009 annex B, rule A (`iso-80000-1`).
pub fn half_even(value: Decimal, decimals: u32) -> Decimal {
    value.round_dp_with_strategy(decimals, RoundingStrategy::MidpointNearestEven)
}

/// An Rf for display: two decimals, half to even.
///
/// The decimal nearest to the double is rounded, not the double's binary tail: 2.5/100 = 0.025
/// shows 0.02, as the exact quotient does.
pub fn show_rf(rf: f64) -> String {
    // Fifteen significant digits hold every quotient of two ruler readings exactly enough to see
    // a tie, and drop the binary tail.
    let shortest = Decimal::from_f64(rf).map(|d| half_even(half_even(d, 12), 2));
    shortest.map_or_else(|| rf.to_string(), |d| format!("{d:.2}"))
}

/// An Rf with its standard uncertainty: `0.43 ± 0.007`.
pub fn show_rf_with_u(rf: f64, u: Option<f64>) -> String {
    match u {
        Some(u) => format!("{} ± {u:.3}", show_rf(rf)),
        None => show_rf(rf),
    }
}

#[cfg(test)]
mod tests {
    use super::{half_even, show_rf};
    use rust_decimal::Decimal;

    #[test]
    fn ties_go_to_the_even_neighbour() {
        // ISO 80000-1:2009 annex B, rule A: 12.25 -> 12.2 and 12.35 -> 12.4.
        let round = |text: &str| half_even(text.parse::<Decimal>().unwrap(), 1).to_string();
        assert_eq!(
            (round("12.25"), round("12.35")),
            ("12.2".into(), "12.4".into())
        );
        assert_eq!(show_rf(0.025), "0.02");
        assert_eq!(show_rf(0.035), "0.04");
        assert_eq!(show_rf(1.0 / 3.0), "0.33");
        assert_eq!(show_rf(1.0), "1.00");
    }
}
