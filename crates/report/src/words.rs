//! Numbers and decisions in words, the same everywhere.

use dyebook_documents::{Decision, Range, Severity, half_even, show_rf};
use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

/// A number rounded half to even; the decimal nearest to the double is rounded, not its binary
/// tail.
pub(crate) fn decimals(value: f64, places: u32) -> String {
    let Some(exact) = Decimal::from_f64(value) else {
        return value.to_string();
    };
    let mut rounded = half_even(half_even(exact, 12), places);
    rounded.rescale(places);
    let text = rounded.to_string();
    match text.strip_prefix('-') {
        Some(positive) if rounded.is_zero() => positive.to_owned(),
        Some(positive) => format!("\u{2212}{positive}"),
        None => text,
    }
}

/// The same with its sign always shown, `±0` without one.
pub(crate) fn signed(value: f64, places: u32) -> String {
    let text = decimals(value, places);
    if text.starts_with('\u{2212}') || text.bytes().all(|b| matches!(b, b'0' | b'.')) {
        text
    } else {
        format!("+{text}")
    }
}

/// `0.43 ± 0.007`.
pub(crate) fn rf_with_u(rf: f64, u: Option<f64>) -> String {
    match u {
        Some(u) => format!("{} ± {}", show_rf(rf), decimals(u, 3)),
        None => show_rf(rf),
    }
}

/// `0.36 to 0.45`; both ends with three decimals where two would move one of them.
pub(crate) fn range(range: Range) -> String {
    let three = [range.low, range.high].map(|end| decimals(end, 3));
    let is_long = three.iter().any(|end| !end.ends_with('0'));
    let [low, high] = three.map(|mut end| {
        end.truncate(end.len() - usize::from(!is_long));
        end
    });
    format!("{low} to {high}")
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn list_with(items: &[String], word: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} {word} {last}", first.join(", ")),
    }
}

/// `1 spot`, `2 spots`.
pub(crate) fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// What a decision means to a reader.
pub(crate) fn decision_meaning(decision: Decision) -> &'static str {
    match decision {
        Decision::Identified => {
            "One dye of the reference set, or one stated pair in the same spot, is consistent with \
             the evidence. It is the answer within this reference set; a dye outside the set may \
             lie at the same place."
        }
        Decision::Indistinguishable => {
            "Several candidates fit and the evidence can't tell them apart. This is an answer, not \
             a failure: a mixed spot, a longer run or a second developing solvent may decide."
        }
        Decision::NotInReferenceSet => {
            "No dye of the reference set lies near enough. It may be another dye, a minor spot, or \
             a measuring mistake."
        }
        Decision::NotEvaluable => {
            "The spot can't be judged as it stands, for instance because its distance or its front \
             is missing or it streaks; the reason says which."
        }
        Decision::NoValidReference => {
            "There is no reference set that may be used for this spot, so nothing was compared."
        }
    }
}

/// What a severity asks of a person.
pub(crate) fn severity_meaning(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "can't be used before a person has looked",
        Severity::Warn => "probably wrong",
        Severity::Ask => "the group should be asked",
        Severity::Info => "worth knowing",
    }
}

/// All severities, worst first.
pub(crate) const WORST_FIRST: [Severity; 4] = [
    Severity::Stop,
    Severity::Warn,
    Severity::Ask,
    Severity::Info,
];

/// A word with its first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

#[cfg(test)]
mod tests {
    use super::{decimals, list_with, range, rf_with_u, signed};
    use dyebook_documents::Range;

    #[test]
    fn numbers_round_half_to_even() {
        assert_eq!(
            [0.0065, 0.0075, 0.0125].map(|x| decimals(x, 3)),
            ["0.006", "0.008", "0.012"]
        );
        assert_eq!(rf_with_u(0.425, Some(0.0065)), "0.42 ± 0.006");
    }

    #[test]
    fn signs_are_said() {
        assert_eq!(
            [0.01, -0.01, 0.0, -0.0001].map(|x| signed(x, 2)),
            ["+0.01", "−0.01", "0.00", "0.00"]
        );
    }

    #[test]
    fn the_ends_of_a_range_are_not_moved_by_rounding() {
        let told = |low, high| range(Range { low, high });
        assert_eq!(told(0.36, 1.0), "0.36 to 1.00");
        assert_eq!(told(0.355, 0.45), "0.355 to 0.450");
        assert_eq!(told(-0.02, 0.0604), "\u{2212}0.02 to 0.06");
    }

    #[test]
    fn lists_read_as_sentences() {
        let items = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(list_with(&items, "or"), "a, b or c");
        assert_eq!(list_with(&items[..1], "or"), "a");
    }
}
