//! A number with its noun.

/// `1 paper`, `12 papers`, `0 papers`. The noun is given for one, takes an `s` for more, and ends
/// the phrase: `counted(2, "sample lane")`.
pub fn counted(count: usize, noun: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
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
    }
}
