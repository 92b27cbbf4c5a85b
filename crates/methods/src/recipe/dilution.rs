//! Diluting a stock: amount of substance stays, volume grows.

/// Volume of stock that makes a volume of a weaker solution.
///
/// # Shape and units
/// Concentrations in one unit, above 0; the result has the unit of `volume`.
///
/// # Formula
/// ```text
/// V1 = c2 · V2 / c1
/// ```
///
/// Exact for concentrations that count the volume made up (mol/L, g/L, % w/v, % v/v).
///
/// # Source
/// OpenStaxChemistry2e, molarity and dilution
///
/// # Examples
/// ```
/// // 1.59 mol/L to 5.0 L of 0.100 mol/L takes 0.314 L (printed there).
/// let litres = dyebook_methods::recipe::stock_volume(1.59, 0.1, 5.0);
/// assert!((litres - 0.314).abs() < 0.0005);
/// ```
pub fn stock_volume(stock: f64, wanted: f64, volume: f64) -> f64 {
    wanted * volume / stock
}

/// Concentration that a measured volume of stock gives.
///
/// # Shape and units
/// Volumes in one unit, `volume` above 0; the result has the unit of `stock`.
///
/// # Formula
/// ```text
/// c2 = c1 · V1 / V2
/// ```
///
/// # Source
/// OpenStaxChemistry2e, molarity and dilution
///
/// # Examples
/// ```
/// // 0.850 L of 5.00 mol/L made up to 1.80 L: 2.36 mol/L (printed there).
/// let found = dyebook_methods::recipe::diluted_concentration(5.0, 0.85, 1.8);
/// assert!((found - 2.36).abs() < 0.005);
/// ```
pub fn diluted_concentration(stock: f64, measured: f64, volume: f64) -> f64 {
    stock * measured / volume
}

/// The largest volume that an amount of stock makes.
///
/// # Shape and units
/// Concentrations in one unit, above 0; the result has the unit of `available`.
///
/// # Formula
/// ```text
/// V2 = c1 · V1 / c2
/// ```
///
/// # Source
/// OpenStaxChemistry2e, molarity and dilution
///
/// # Examples
/// ```
/// // 11 mL of 0.45 mol/L make 0.041 L of 0.12 mol/L (printed there).
/// let litres = dyebook_methods::recipe::largest_volume(0.45, 0.011, 0.12);
/// assert!((litres - 0.041).abs() < 0.0005);
/// ```
pub fn largest_volume(stock: f64, available: f64, wanted: f64) -> f64 {
    stock * available / wanted
}

#[cfg(test)]
mod tests {
    use super::{diluted_concentration, largest_volume, stock_volume};
    use serde_json::Value;

    #[test]
    fn dilutions_of_the_textbook_come_out_as_printed() {
        // OpenStax Chemistry 2e, molarity and dilution (module m68703), read in a public copy.
        let text = include_str!("../../../../tests/published/chemistry/openstax-dilutions.json");
        let published: Value = serde_json::from_str(text).unwrap();
        let mut checked = 0;
        for check in published["checks"].as_array().unwrap() {
            let input = |key: &str| check["inputs"].get(key).and_then(Value::as_f64);
            let volume = |which: &str| {
                input(&format!("{which}_L")).or_else(|| input(&format!("{which}_mL")))
            };
            let found = match check["kind"].as_str().unwrap() {
                "c2 = c1 v1 / v2" => diluted_concentration(
                    input("c1_M").unwrap(),
                    volume("v1").unwrap(),
                    volume("v2").unwrap(),
                ),
                "v2 = c1 v1 / c2" => largest_volume(
                    input("c1_M").unwrap(),
                    volume("v1").unwrap(),
                    input("c2_M").unwrap(),
                ),
                "v1 = c2 v2 / c1" => stock_volume(
                    input("c1_M").unwrap(),
                    input("c2_M").unwrap(),
                    volume("v2").unwrap(),
                ),
                _ => continue,
            };
            let expected = check["expected"]["unrounded"].as_f64().unwrap();
            assert!(
                (found - expected).abs() <= 1e-9 * expected,
                "{}",
                check["id"]
            );
            checked += 1;
        }
        assert!(checked >= 6, "{checked}");
    }

    #[test]
    fn a_serial_dilution_repeats_the_step() {
        // c1·V1 = c2·V2 repeated: 1 in 5 three times, then 2 mL to 25 mL.
        let mut percent = 1.0;
        for ((measured, volume), expected) in [(1.0, 5.0), (1.0, 5.0), (1.0, 5.0), (2.0, 25.0)]
            .into_iter()
            .zip([0.2, 0.04, 0.008, 0.000_64])
        {
            percent = diluted_concentration(percent, measured, volume);
            assert!((percent - expected).abs() < 1e-12);
        }
    }
}
