//! Numbers and lists in the words of a message.

use dyebook_documents::{LengthUnit, WrittenDecimal, show_rf};

/// A length in cm with one or two decimals: `8.0 cm`, `7.95 cm`.
pub(crate) fn cm(value: f64) -> String {
    let two = format!("{value:.2}");
    format!("{} cm", two.strip_suffix('0').unwrap_or(&two))
}

/// A unit in words, as "in" reads like a preposition.
pub(crate) fn unit(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Centimetre => "cm",
        LengthUnit::Millimetre => "mm",
        LengthUnit::Inch => "inches",
    }
}

/// A reading as the group wrote it, with its unit.
pub(crate) fn written(reading: &WrittenDecimal, unit: LengthUnit) -> String {
    format!("{reading} {unit}")
}

/// An Rf, or `-` without one.
pub(crate) fn rf(value: Option<f64>) -> String {
    value.map_or_else(|| "-".to_owned(), show_rf)
}

/// An expected range: `0.36 to 0.45`.
pub(crate) fn range(range: dyebook_documents::Range) -> String {
    format!("{} to {}", show_rf(range.low), show_rf(range.high))
}

/// A percentage with one decimal.
pub(crate) fn percent(share: f64) -> String {
    format!("{:.1} %", share * 100.0)
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn list<T: ToString>(items: &[T]) -> String {
    joined(items, "and")
}

/// `a`, `a or b`, `a, b or c`.
pub(crate) fn choice<T: ToString>(items: &[T]) -> String {
    joined(items, "or")
}

fn joined<T: ToString>(items: &[T], word: &str) -> String {
    let words: Vec<String> = items.iter().map(ToString::to_string).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} {word} {last}", most.join(", ")),
    }
}

/// `lane 3` or `lanes 1, 2 and 4`.
pub(crate) fn lanes(numbers: &[u32]) -> String {
    let word = if numbers.len() == 1 { "lane" } else { "lanes" };
    format!("{word} {}", list(numbers))
}

#[cfg(test)]
mod tests {
    use super::{choice, cm, lanes};

    #[test]
    fn numbers_read_as_people_write_them() {
        assert_eq!(
            (cm(8.0), cm(7.951)),
            ("8.0 cm".to_owned(), "7.95 cm".to_owned())
        );
        assert_eq!(lanes(&[3]), "lane 3");
        assert_eq!(lanes(&[1, 2, 4]), "lanes 1, 2 and 4");
        assert_eq!(choice(&["a", "b"]), "a or b");
    }
}
