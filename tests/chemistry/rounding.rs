//! Rounding half to even, on decimal text.

use super::{check, text};
use dyebook_documents::{WrittenDecimal, half_even, show_rf};
use rust_decimal::Decimal;

fn decimal(text: &str) -> Decimal {
    text.parse().unwrap()
}

/// The same text, a minus before nothing but zeros left out.
fn shown(value: Decimal, decimals: u32) -> String {
    format!("{:.*}", decimals as usize, half_even(value, decimals))
}

fn decimals_of(text: &str) -> u32 {
    text.split_once('.')
        .map_or(0, |(_, behind)| u32::try_from(behind.len()).unwrap())
}

/// NIST SP 811 (2008) B.7.1; the digits behind the point of each answer say how far to round.
#[test]
fn the_examples_of_nist_are_rounded_as_printed() {
    for row in check("several-rounding", "nist_sp811_b7").rows {
        let expected = text(&row, "rounded_half_even");
        assert_eq!(
            shown(decimal(text(&row, "value")), decimals_of(expected)),
            expected
        );
    }
}

#[test]
fn the_examples_of_iso_80000_are_rounded_by_rule_a() {
    for row in check("several-rounding", "iso80000_1_annex_b").rows {
        let range = decimal(text(&row, "rounding_range"));
        let rounded = half_even(decimal(text(&row, "value")) / range, 0) * range;
        assert_eq!(rounded, decimal(text(&row, "rule_A_half_even")), "{row:?}");
    }
}

#[test]
fn halves_go_to_the_even_neighbour() {
    for row in check("several-rounding", "decimal_halves").rows {
        for (column, decimals) in [
            ("to_0.01_half_even", 2),
            ("to_0.1_half_even", 1),
            ("to_1_half_even", 0),
        ] {
            let expected = decimal(text(&row, column));
            assert_eq!(
                half_even(decimal(text(&row, "value")), decimals),
                expected,
                "{row:?}"
            );
        }
    }
}

/// Rf as shown is the exact quotient rounded, never the binary double.
#[test]
fn rf_as_shown_are_the_exact_quotients_rounded() {
    for row in check("several-rounding", "ratio_of_two_distances").rows {
        let [spot, front] = ["spot_mm", "front_mm"].map(|column| decimal(text(&row, column)));
        assert_eq!(
            shown(spot / front, 2),
            text(&row, "to_0.01_half_even"),
            "{row:?}"
        );
        assert_eq!(
            shown(spot / front, 3),
            text(&row, "to_0.001_half_even"),
            "{row:?}"
        );
        let written = |column| text(&row, column).parse::<WrittenDecimal>().unwrap();
        let rf = written("spot_mm").value() / written("front_mm").value();
        assert_eq!(show_rf(rf), text(&row, "to_0.01_half_even"), "{row:?}");
        assert!((rf - row["double"].as_f64().unwrap()).abs() <= 1e-15);
    }
}
