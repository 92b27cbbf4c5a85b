//! How alike two names are. A few lines, because a plug-in author should not have to build a crate
//! for it.

/// 1 for the same name, 0 for nothing in common: one minus the edit distance over the longer length.
pub(super) fn closeness(one: &str, other: &str) -> f64 {
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    let longer = one.len().max(other.len());
    if longer == 0 {
        return 1.0;
    }
    let mut distances: Vec<usize> = (0..=other.len()).collect();
    for (i, a) in one.iter().enumerate() {
        let mut diagonal = i;
        let mut left = i + 1;
        for (b, above) in other.iter().zip(distances.iter_mut().skip(1)) {
            let kept = diagonal + usize::from(a != b);
            diagonal = *above;
            left = kept.min(left + 1).min(*above + 1);
            *above = left;
        }
        if let Some(first) = distances.first_mut() {
            *first = i + 1;
        }
    }
    let distance = distances.last().copied().unwrap_or(longer);
    #[expect(clippy::cast_precision_loss, reason = "names are short")]
    let share = distance as f64 / longer as f64;
    1.0 - share
}

#[cfg(test)]
mod tests {
    use super::closeness;

    /// Expected: the textbook example of Wagner and Fischer's algorithm, three edits on seven letters.
    #[test]
    fn kitten_and_sitting_are_three_edits_apart() {
        assert!((closeness("kitten", "sitting") - (1.0 - 3.0 / 7.0)).abs() < 1e-12);
        assert!((closeness("", "abc")).abs() < 1e-12);
        assert!((closeness("front", "front") - 1.0).abs() < 1e-12);
    }
}
