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
