//! A decimal number kept as it was written.

use compact_str::CompactString;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize, Serializer};
use std::fmt;
use std::str::FromStr;

/// A decimal number with the text it was written as: `7.50` and `7.5` are the same number and
/// different readings of a ruler, so both are kept.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(try_from = "CompactString")]
pub struct WrittenDecimal {
    text: CompactString,
    value: Decimal,
}

/// A text that is not a plain decimal number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a decimal number such as 3.4")]
pub struct NotADecimal(pub String);

/// Powers of ten that are doubles as they stand.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];
/// Whole numbers below it are doubles as they stand.
const WHOLE_DOUBLES: u64 = 1 << 53;
/// Below it, the quotient of two whole numbers is far from where rounding to a double turns.
const SMALL: f64 = 1e5;

/// The double nearest to an exact decimal.
pub fn nearest_double(exact: Decimal) -> f64 {
    let digits = i64::try_from(exact.mantissa()).unwrap_or_default();
    let power = POWERS.get(exact.scale() as usize);
    match (digits.unsigned_abs(), power) {
        // One division of two exact doubles is rounded once. A zero may bear a sign.
        (1..WHOLE_DOUBLES, Some(power)) => whole(digits) / power,
        // By its text: the library's own conversion can be one unit in the last place off.
        _ => exact.to_string().parse().unwrap_or(f64::NAN),
    }
}

/// The double nearest to the quotient of two exact decimals, the quotient taken to 28 digits;
/// `None` where there is none.
///
/// Readings of a ruler have few digits, and doubles divide those at once to the same result: a
/// quotient a / b of whole numbers below 100,000 is at least 10⁻⁵ and differs from every middle
/// between two doubles by 2⁻⁵⁴ / b of itself or more, so by more than 10⁻²⁷.
pub fn nearest_quotient(dividend: Decimal, divisor: Decimal) -> Option<f64> {
    let (above, below) = (dividend.scale() as usize, divisor.scale() as usize);
    let raised = |number: Decimal, by: usize| {
        let number = small(number)? * POWERS.get(by)?;
        (number < SMALL).then_some(number)
    };
    let whole = raised(dividend, below.saturating_sub(above))
        .zip(raised(divisor, above.saturating_sub(below)));
    match whole {
        Some((dividend, divisor)) => Some(dividend / divisor),
        None => dividend.checked_div(divisor).map(nearest_double),
    }
}

/// The digits of a decimal above 0, where they are few.
fn small(number: Decimal) -> Option<f64> {
    let digits = i64::try_from(number.mantissa()).ok()?;
    (1..100_000).contains(&digits).then(|| whole(digits))
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a whole number below 2^53 is a double"
)]
fn whole(digits: i64) -> f64 {
    digits as f64
}

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
        if self.value.is_zero() {
            // only the text is sure to keep the sign of a zero
            return self.text.parse().unwrap_or(0.0);
        }
        nearest_double(self.value)
    }

    /// Digits behind the decimal point, as written.
    pub fn decimals(&self) -> usize {
        let mut from_end = self.text.bytes().rev();
        from_end.position(|byte| byte == b'.').unwrap_or(0)
    }
}

impl FromStr for WrittenDecimal {
    type Err = NotADecimal;

    fn from_str(text: &str) -> Result<Self, NotADecimal> {
        let text = text.trim();
        match few_digits(text).or_else(|| any_digits(text)) {
            Some(value) => Ok(Self {
                text: text.into(),
                value,
            }),
            None => Err(NotADecimal(text.to_owned())),
        }
    }
}

/// The number that a text stands for as a ruler is read: few digits, and a point between two of them
/// at most. The library reads that too, and takes longer.
fn few_digits(text: &str) -> Option<Decimal> {
    let bytes = text.as_bytes();
    let between = bytes.iter().position(|byte| *byte == b'.');
    let (whole, fraction) = match between {
        Some(point) => (&bytes[..point], &bytes[point + 1..]),
        None => (bytes, &bytes[bytes.len()..]),
    };
    let bare_point = between.is_some() && (whole.is_empty() || fraction.is_empty());
    if bytes.is_empty() || bare_point || bytes.len() > MOST_FEW {
        return None;
    }
    let add = |number: u32, byte: &u8| {
        (byte.is_ascii_digit()).then(|| number * 10 + u32::from(byte - b'0'))
    };
    let number = whole.iter().chain(fraction).try_fold(0, add)?;
    let scale = u32::try_from(fraction.len()).ok()?;
    Some(Decimal::from_parts(number, 0, 0, false, scale))
}

/// So many digits are a number of 32 bits.
const MOST_FEW: usize = 9;

fn any_digits(text: &str) -> Option<Decimal> {
    let plain = |byte: u8| byte.is_ascii_digit() || matches!(byte, b'.' | b'-' | b'+');
    let is_plain = !text.is_empty() && text.bytes().all(plain);
    Decimal::from_str_exact(text).ok().filter(|_| is_plain)
}

impl TryFrom<CompactString> for WrittenDecimal {
    type Error = NotADecimal;
    fn try_from(text: CompactString) -> Result<Self, NotADecimal> {
        text.parse()
    }
}

impl Serialize for WrittenDecimal {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl fmt::Display for WrittenDecimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

#[cfg(test)]
mod tests {
    use super::{WrittenDecimal, any_digits, few_digits, nearest_double, nearest_quotient};
    use proptest::prelude::*;
    use rust_decimal::Decimal;

    fn by_text(exact: Decimal) -> u64 {
        exact.to_string().parse::<f64>().unwrap().to_bits()
    }

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
        fn few_digits_are_read_as_the_library_reads_them(text in "[0-9]{0,5}[.]?[0-9]{0,5}|[0-9.+-]{0,6}") {
            let Some(few) = few_digits(&text) else {
                return Ok(());
            };
            let any = any_digits(&text).unwrap();
            prop_assert_eq!(few.serialize(), any.serialize(), "{}", text);
        }

        #[test]
        fn the_double_is_the_one_nearest_to_the_text(whole in 0u32..1_000, parts in 0u32..1_000) {
            let text = format!("{whole}.{parts:03}");
            let written: WrittenDecimal = text.parse().unwrap();
            prop_assert_eq!(written.value().to_bits(), text.parse::<f64>().unwrap().to_bits());
        }

        #[test]
        fn a_double_is_the_one_nearest_to_the_text_of_any_decimal(
            digits: i128, bits in 1u32..97, scale in 0u32..29,
        ) {
            let digits = digits % (1 << bits.min(95));
            let exact = Decimal::from_i128_with_scale(digits, scale);
            prop_assert_eq!(nearest_double(exact).to_bits(), by_text(exact));
            prop_assert_eq!(nearest_double(-exact).to_bits(), by_text(-exact));
        }

        #[test]
        fn a_quotient_is_the_double_nearest_to_28_digits(
            a in 0i128..120_000, b in -10i128..120_000, scales in (0u32..6, 0u32..6),
        ) {
            let (a, b) = (
                Decimal::from_i128_with_scale(a, scales.0),
                Decimal::from_i128_with_scale(b, scales.1),
            );
            let expected = a.checked_div(b).map(by_text);
            prop_assert_eq!(nearest_quotient(a, b).map(f64::to_bits), expected);
        }
    }

    #[test]
    fn a_zero_keeps_its_sign() {
        for text in ["0", "-0", "0.00", "-0.0"] {
            let zero: WrittenDecimal = text.parse().unwrap();
            assert_eq!(
                zero.value().to_bits(),
                text.parse::<f64>().unwrap().to_bits()
            );
            let exact = zero.exact();
            assert_eq!(nearest_double(exact).to_bits(), by_text(exact));
        }
    }
}
