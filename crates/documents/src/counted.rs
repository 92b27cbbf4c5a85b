//! A number with its noun.

use std::fmt::Display;

/// `1 paper`, `12 papers`, `0 papers`. The noun is given for one, takes an `s` (or `es`) for more, and ends
/// the phrase: `counted(2, "sample lane")`. A number with a fraction is many.
pub fn counted(count: impl Display, noun: &str) -> String {
    let count = count.to_string();
    let ending = match &*count {
        "1" => "",
        _ if noun.ends_with("ch") => "es",
        _ => "s",
    };
    format!("{count} {noun}{ending}")
}

#[cfg(test)]
mod tests {
    use super::counted;

    #[test]
    fn one_is_one_and_none_is_many() {
        assert_eq!(counted(1, "sample lane"), "1 sample lane");
        assert_eq!(counted(0, "sheet"), "0 sheets");
        assert_eq!(counted(12, "sheet"), "12 sheets");
        assert_eq!(counted(1.0, "batch"), "1 batch");
        assert_eq!(counted(3_u32, "batch"), "3 batches");
        assert_eq!(counted(1.5, "lane"), "1.5 lanes");
    }
}
