//! What a spot's colour word says about a reference, by the host's table.

use std::collections::{BTreeMap, BTreeSet};

use super::{ColourVerdict, ColourWord};

/// The host's colour words, ready to judge with.
#[derive(Clone, Debug, Default)]
pub struct ColourTable {
    neighbours: BTreeMap<String, BTreeSet<String>>,
}

impl ColourTable {
    /// The table that came with PREPARE.
    pub fn new(words: &[ColourWord]) -> Self {
        let neighbours = words.iter().map(|word| {
            (
                fold(&word.word),
                word.neighbours
                    .iter()
                    .map(|neighbour| fold(neighbour))
                    .collect(),
            )
        });
        Self {
            neighbours: neighbours.collect(),
        }
    }

    /// Does the colour of a spot fit the colours of a reference?
    ///
    /// The first colour of the reference is the usual one, and its neighbours agree too; the others
    /// agree as they stand. A word that is not in the table judges nothing; a shade counts as its
    /// hue ("dark red" is red).
    ///
    /// ```
    /// use dyebook_plugin::strategy::{ColourTable, ColourVerdict, ColourWord};
    /// let table = ColourTable::new(&[
    ///     ColourWord::new("red", &["pink"]),
    ///     ColourWord::new("pink", &[]),
    ///     ColourWord::new("blue", &[]),
    /// ]);
    /// assert_eq!(table.judge(Some("Pink"), &["red"]), ColourVerdict::Agrees);
    /// assert_eq!(table.judge(Some("blue"), &["red"]), ColourVerdict::Disagrees);
    /// assert_eq!(table.judge(Some("salmon"), &["red"]), ColourVerdict::NotJudged);
    /// assert_eq!(table.judge(None, &["red"]), ColourVerdict::NotJudged);
    /// ```
    pub fn judge<S: AsRef<str>>(&self, spot: Option<&str>, reference: &[S]) -> ColourVerdict {
        let Some(seen) = spot.and_then(|word| self.find(word)) else {
            return ColourVerdict::NotJudged;
        };
        let mut expected = reference.iter().filter_map(|word| self.find(word.as_ref()));
        let Some(usual) = expected.next() else {
            return ColourVerdict::NotJudged;
        };
        if self.alike(seen, usual) || expected.any(|word| word == seen) {
            ColourVerdict::Agrees
        } else {
            ColourVerdict::Disagrees
        }
    }

    /// The word of the table that a written word is.
    fn find(&self, written: &str) -> Option<&str> {
        let folded = fold(written);
        let hue = folded.rsplit([' ', '-']).next().unwrap_or(&folded);
        let found = self.neighbours.get_key_value(&folded);
        found
            .or_else(|| self.neighbours.get_key_value(hue))
            .map(|(word, _)| word.as_str())
    }

    fn alike(&self, one: &str, other: &str) -> bool {
        let next_to = |a: &str, b: &str| {
            self.neighbours
                .get(a)
                .is_some_and(|words| words.contains(b))
        };
        one == other || next_to(one, other) || next_to(other, one)
    }
}

fn fold(word: &str) -> String {
    word.trim().to_lowercase()
}
