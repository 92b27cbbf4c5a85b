//! Units in which a ruler is read.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A unit of length on a data sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum LengthUnit {
    /// Centimetre.
    #[serde(rename = "cm")]
    Centimetre,
    /// Millimetre.
    #[serde(rename = "mm")]
    Millimetre,
    /// International inch, 2.54 cm exactly.
    #[serde(rename = "in")]
    Inch,
}

impl LengthUnit {
    /// How many centimetres one of the unit is, exactly (inch: 25.4 mm by the international
    /// agreement of 1959, NIST SP 811 appendix B).
    pub fn in_cm(self) -> Decimal {
        match self {
            Self::Centimetre => Decimal::ONE,
            Self::Millimetre => Decimal::new(1, 1),
            Self::Inch => Decimal::new(254, 2),
        }
    }

    /// A length in this unit in cm, exactly.
    pub fn to_cm(self, length: Decimal) -> Decimal {
        // Once one is the same number; a product of zero is zero without sign and decimals.
        if self == Self::Centimetre && !length.is_zero() {
            length
        } else {
            length * self.in_cm()
        }
    }

    /// How many of another unit one of this is, as the nearest double.
    pub fn ratio_to(self, other: Self) -> f64 {
        self.tenths_of_mm() / other.tenths_of_mm()
    }

    fn tenths_of_mm(self) -> f64 {
        match self {
            Self::Centimetre => 100.0,
            Self::Millimetre => 10.0,
            Self::Inch => 254.0,
        }
    }

    /// The unit's symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
            Self::Inch => "in",
        }
    }
}

impl fmt::Display for LengthUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

#[cfg(test)]
mod tests {
    use super::LengthUnit::{self, Centimetre, Inch, Millimetre};
    use rust_decimal::Decimal;

    const UNITS: [LengthUnit; 3] = [Centimetre, Millimetre, Inch];

    #[test]
    fn ratios_are_those_of_the_exact_lengths() {
        for unit in UNITS {
            for other in UNITS {
                let exact = unit.in_cm() / other.in_cm();
                let nearest: f64 = exact.to_string().parse().unwrap();
                assert_eq!(unit.ratio_to(other).to_bits(), nearest.to_bits());
            }
        }
    }

    #[test]
    fn a_length_in_cm_is_the_product() {
        for text in [
            "3.24",
            "-3.240",
            "0.00",
            "-0",
            "1e-28",
            "79228162514264337593543950335",
        ] {
            let length = Decimal::from_scientific(text)
                .or_else(|_| text.parse())
                .unwrap();
            for unit in UNITS.into_iter().filter(|unit| *unit != Inch) {
                let (short, long) = (unit.to_cm(length), length * unit.in_cm());
                assert_eq!(short.to_string(), long.to_string(), "{text} {unit}");
            }
        }
    }
}
