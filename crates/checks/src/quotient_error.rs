//! Whether a reported Rf follows from the distances.

use dyebook_documents::WrittenDecimal;
use rust_decimal::{Decimal, RoundingStrategy};
use serde::Serialize;

/// How a reported Rf stands to the quotient of the distances.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum QuotientVerdict {
    /// The quotient, rounded either way of a half at the decimals written.
    Rounded,
    /// The quotient with its further digits cut off.
    Cut,
    /// Within 0.01 of it: a slip of the last digit.
    Near,
    /// Something else.
    Wrong,
}

/// The arithmetic counts as right within this (one digit of an Rf as customarily given).
const TOLERANCE: Decimal = Decimal::from_parts(1, 0, 0, false, 2);

/// Judges a reported Rf by the exact decimals; `front` above 0.
pub(crate) fn judge_quotient(
    distance: Decimal,
    front: Decimal,
    reported: &WrittenDecimal,
) -> QuotientVerdict {
    let Some(quotient) = distance.checked_div(front) else {
        return QuotientVerdict::Wrong;
    };
    let decimals = u32::try_from(reported.decimals())
        .unwrap_or(u32::MAX)
        .min(20);
    let by = |strategy| quotient.round_dp_with_strategy(decimals, strategy);
    let value = reported.exact();
    // One decimal or none is a rounding that loses what the ruler gave.
    let fine = decimals >= 2 || quotient == value;
    let rounded = value == by(RoundingStrategy::MidpointAwayFromZero)
        || value == by(RoundingStrategy::MidpointNearestEven);
    if rounded && fine {
        QuotientVerdict::Rounded
    } else if value == by(RoundingStrategy::ToZero) && fine {
        QuotientVerdict::Cut
    } else if rounded || (value - quotient).abs() <= TOLERANCE {
        QuotientVerdict::Near
    } else {
        QuotientVerdict::Wrong
    }
}
