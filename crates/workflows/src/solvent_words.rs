//! Sentences about developing solvents, with the names of dyes in place of their identifiers.

use crate::failure::Failure;
use dyebook_documents::DyeRegister;

/// The sentence with each dye's name where its identifier stood.
pub fn with_dye_names(sentence: &str, dyes: &DyeRegister) -> String {
    let belongs = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    let mut out = String::with_capacity(sentence.len());
    let mut rest = sentence;
    while !rest.is_empty() {
        let word_ends = rest.find(|c: char| !belongs(c)).unwrap_or(rest.len());
        let (word, behind) = rest.split_at(word_ends);
        out.push_str(dyes.by_id(word).map_or(word, |dye| dye.name.as_str()));
        let gap_ends = behind.find(belongs).unwrap_or(behind.len());
        let (gap, next) = behind.split_at(gap_ends);
        out.push_str(gap);
        rest = next;
    }
    out
}

/// The name of a dye, or its identifier where the library holds no such dye.
pub fn dye_name(id: &str, dyes: &DyeRegister) -> String {
    dyes.by_id(id)
        .map_or_else(|| id.to_owned(), |dye| dye.name.clone())
}

/// A refusal by one of the rules about solvents.
pub(crate) fn refused_by(id: &str, error: &impl std::fmt::Display, hints: Vec<String>) -> Failure {
    let mut failure = Failure::refused(id, error.to_string());
    failure.hints = hints;
    failure
}

/// A probability in per cent, as a sentence wants it.
pub fn percent(probability: f64) -> String {
    let percent = 100.0 * probability;
    if percent < 0.1 {
        "less than 0.1 %".to_owned()
    } else if percent < 10.0 {
        format!("{percent:.1} %")
    } else {
        format!("{percent:.0} %")
    }
}

/// The program that writes a document.
pub(crate) const PROGRAM: &str = concat!("dyebook ", env!("CARGO_PKG_VERSION"));

#[cfg(test)]
mod tests {
    use super::with_dye_names;
    use dyebook_documents::DyeRegister;

    #[test]
    fn identifiers_of_dyes_become_names_and_nothing_else_does() {
        let dye = serde_json::json!({"id": "allura-red-ac", "name": "Allura Red AC", "names": [],
            "colours": ["red"]});
        let dyes = DyeRegister::new(vec![serde_json::from_value(dye).unwrap()]);
        for (sentence, expected) in [
            ("allura-red-ac and x-red-ac", "Allura Red AC and x-red-ac"),
            (
                "(allura-red-ac): allura-red-ac.",
                "(Allura Red AC): Allura Red AC.",
            ),
            (
                "allura-red-ac-2 of saline@1.0.0, ±0.05",
                "allura-red-ac-2 of saline@1.0.0, ±0.05",
            ),
            ("", ""),
        ] {
            assert_eq!(with_dye_names(sentence, &dyes), expected);
        }
    }
}
