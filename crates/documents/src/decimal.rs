//! A decimal number kept as it was written.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// A decimal number with the text it was written as: `7.50` and `7.5` are the same number and
/// different readings of a ruler, so both are kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct WrittenDecimal {
    text: String,
    value: Decimal,
}

/// A text that is not a plain decimal number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a decimal number such as 3.4")]
pub struct NotADecimal(pub String);

impl WrittenDecimal {
    /// The text as written, with a decimal point.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The exact number.
    pub fn exact(&self) -> Decimal {
        self.value
    }

    /// The number in double precision.
    pub fn value(&self) -> f64 {
        // Every `Decimal` has a double next to it; the text's own parse is the nearest one.
        self.text
            .parse()
            .unwrap_or_else(|_| self.value.to_f64().unwrap_or(f64::NAN))
    }

    /// Digits behind the decimal point, as written.
    pub fn decimals(&self) -> usize {
        self.text
            .split_once('.')
            .map_or(0, |(_, behind)| behind.len())
    }
}

impl FromStr for WrittenDecimal {
    type Err = NotADecimal;

    fn from_str(text: &str) -> Result<Self, NotADecimal> {
        let text = text.trim();
        let plain = text
            .bytes()
            .all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+'));
        let value = Decimal::from_str_exact(text)
            .ok()
            .filter(|_| plain && !text.is_empty());
        match value {
            Some(value) => Ok(Self {
                text: text.to_owned(),
                value,
            }),
            None => Err(NotADecimal(text.to_owned())),
        }
    }
}

impl TryFrom<String> for WrittenDecimal {
    type Error = NotADecimal;
    fn try_from(text: String) -> Result<Self, NotADecimal> {
        text.parse()
    }
}

impl From<WrittenDecimal> for String {
    fn from(decimal: WrittenDecimal) -> Self {
        decimal.text
    }
}

impl fmt::Display for WrittenDecimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

#[cfg(test)]
mod tests {
    use super::WrittenDecimal;
    use proptest::prelude::*;

    #[test]
    fn trailing_zeros_are_kept_as_written() {
        let written: WrittenDecimal = "7.50".parse().unwrap();
        assert_eq!((written.text(), written.decimals()), ("7.50", 2));
        assert_eq!(
            written.exact(),
            "7.5".parse::<WrittenDecimal>().unwrap().exact()
        );
    }

    #[test]
    fn what_is_not_a_plain_decimal_is_refused() {
        for text in [
            "", " ", "3,4", "1e3", "abc", "1_0", "0x1", "3.4.5", "NaN", "--1",
        ] {
            assert!(text.parse::<WrittenDecimal>().is_err(), "{text:?}");
        }
    }

    proptest! {
        #[test]
        fn the_double_is_the_one_nearest_to_the_text(whole in 0u32..1_000, parts in 0u32..1_000) {
            let text = format!("{whole}.{parts:03}");
            let written: WrittenDecimal = text.parse().unwrap();
            prop_assert_eq!(written.value().to_bits(), text.parse::<f64>().unwrap().to_bits());
        }
    }
}
