//! Rounding an amount to what a prep room can measure.

use serde::Serialize;

/// What an amount is measured with.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Vessel {
    name: &'static str,
    holds_ml: f64,
    graduation_ml: f64,
}

const fn vessel(name: &'static str, holds_ml: f64, graduation_ml: f64) -> Vessel {
    Vessel {
        name,
        holds_ml,
        graduation_ml,
    }
}

/// Usual sizes and graduations, smallest first (common practice, no source).
const VESSELS: [Vessel; 10] = [
    vessel("1 mL graduated pipette", 1.0, 0.01),
    vessel("5 mL graduated pipette", 5.0, 0.05),
    vessel("10 mL graduated pipette", 10.0, 0.1),
    vessel("25 mL graduated cylinder", 25.0, 0.5),
    vessel("50 mL graduated cylinder", 50.0, 1.0),
    vessel("100 mL graduated cylinder", 100.0, 1.0),
    vessel("250 mL graduated cylinder", 250.0, 2.0),
    vessel("500 mL graduated cylinder", 500.0, 5.0),
    vessel("1000 mL graduated cylinder", 1000.0, 10.0),
    vessel("2000 mL graduated cylinder", 2000.0, 20.0),
];

/// Readability of a school balance, g (common practice, no source).
const BALANCE_G: f64 = 0.01;

/// An amount rounded to what can be measured.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Measured {
    /// The amount, in the unit of what was rounded.
    pub amount: f64,
    /// What it is measured with.
    pub with: String,
    /// (rounded − exact)/exact, %.
    pub error_percent: f64,
}

/// A volume rounded to the graduation of the smallest vessel that holds it.
///
/// # Shape and units
/// mL, above 0. What is larger than the largest vessel is measured in several fillings.
///
/// # Formula
/// ```text
/// rounded = graduation · round(V / graduation)
/// ```
///
/// # Source
/// Sizes and graduations: common practice, no source.
///
/// # Examples
/// ```
/// let measured = dyebook_methods::recipe::measured_ml(38.245);
/// assert_eq!(measured.amount, 38.0);
/// assert_eq!(measured.with, "50 mL graduated cylinder");
/// ```
pub fn measured_ml(exact: f64) -> Measured {
    let largest = VESSELS[VESSELS.len() - 1];
    let chosen = VESSELS
        .into_iter()
        .find(|v| exact <= v.holds_ml * (1.0 + 1e-9));
    let used = chosen.unwrap_or(largest);
    let with = match chosen {
        Some(vessel) => vessel.name.to_owned(),
        None => format!("{}, in several fillings", largest.name),
    };
    rounded(exact, used.graduation_ml, with)
}

/// A mass rounded to the balance's last digit.
///
/// # Shape and units
/// g, above 0.
///
/// # Formula
/// ```text
/// rounded = 0.01 · round(m / 0.01)
/// ```
///
/// # Source
/// Readability: common practice, no source.
///
/// # Examples
/// ```
/// let measured = dyebook_methods::recipe::measured_g(11.998);
/// assert!((measured.amount - 12.0).abs() < 1e-12);
/// ```
pub fn measured_g(exact: f64) -> Measured {
    rounded(
        exact,
        BALANCE_G,
        format!("balance that shows {BALANCE_G} g"),
    )
}

fn rounded(exact: f64, step: f64, with: String) -> Measured {
    // Never to nothing: the smallest graduation is measured, and the error says what that does.
    let steps = (exact / step).round().max(1.0);
    // Dividing by the whole number of steps in a unit keeps 0.1 + 0.2 from showing.
    let per_unit = (1.0 / step).round();
    let amount = if step < 1.0 {
        steps / per_unit
    } else {
        steps * step
    };
    Measured {
        amount,
        with,
        error_percent: 100.0 * (amount - exact) / exact,
    }
}

#[cfg(test)]
mod tests {
    use super::{measured_g, measured_ml};
    use proptest::prelude::*;

    #[test]
    fn the_smallest_vessel_that_holds_it_is_used() {
        for (exact, amount, with) in [
            (0.956, 0.96, "1 mL graduated pipette"),
            (9.56, 9.6, "10 mL graduated pipette"),
            (100.0, 100.0, "100 mL graduated cylinder"),
            (
                3000.0,
                3000.0,
                "2000 mL graduated cylinder, in several fillings",
            ),
        ] {
            let found = measured_ml(exact);
            assert_eq!(found.with, with);
            assert!(
                (found.amount - amount).abs() < 1e-12,
                "{exact}: {}",
                found.amount
            );
        }
        assert!((measured_g(0.001).amount - 0.01).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn the_error_is_at_most_half_a_graduation(exact in 0.02f64..5000.0) {
            let found = measured_ml(exact);
            let half = [(1.0, 0.005), (5.0, 0.025), (10.0, 0.05), (25.0, 0.25), (100.0, 0.5),
                (250.0, 1.0), (500.0, 2.5), (1000.0, 5.0), (1e9, 10.0)]
                .into_iter().find(|(holds, _)| exact <= *holds).unwrap().1;
            prop_assert!((found.amount - exact).abs() <= half + 1e-9);
            let back = exact * (1.0 + found.error_percent / 100.0);
            prop_assert!((back - found.amount).abs() < 1e-6);
        }
    }
}
