//! Colour words and which of them are neighbours.

use serde::{Deserialize, Serialize};

/// A colour word with the words that people use for nearly the same spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct ColourWord {
    /// The word.
    pub word: &'static str,
    /// Words that count as agreeing with it.
    pub neighbours: &'static [&'static str],
}

/// The colour words that are judged. Neighbours are those that readers swap at the bench
/// (common practice, no source): hues next to each other on the circle, and black with the dark
/// colours that a strong spot of a black dye shows. The relation is symmetric (a test).
pub const COLOUR_WORDS: &[ColourWord] = &[
    ColourWord {
        word: "black",
        neighbours: &["purple", "brown", "blue"],
    },
    ColourWord {
        word: "blue",
        neighbours: &["green", "purple", "black"],
    },
    ColourWord {
        word: "brown",
        neighbours: &["orange", "red", "black"],
    },
    ColourWord {
        word: "colourless",
        neighbours: &[],
    },
    ColourWord {
        word: "green",
        neighbours: &["blue", "yellow"],
    },
    ColourWord {
        word: "orange",
        neighbours: &["yellow", "red", "brown"],
    },
    ColourWord {
        word: "pink",
        neighbours: &["red", "purple"],
    },
    ColourWord {
        word: "purple",
        neighbours: &["blue", "pink", "red", "black"],
    },
    ColourWord {
        word: "red",
        neighbours: &["pink", "orange", "purple", "brown"],
    },
    ColourWord {
        word: "yellow",
        neighbours: &["orange", "green"],
    },
];

/// How an observed colour stands to the expected ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum ColourVerdict {
    /// The same word or a neighbour.
    #[serde(rename = "agrees")]
    Agrees,
    /// A judged word that is neither.
    #[serde(rename = "disagrees")]
    Disagrees,
    /// No word, an unknown word, or nothing expected.
    #[serde(rename = "not judged")]
    NotJudged,
}

/// The bundled word that a written word is, without regard to case and spaces.
///
/// Shades keep their hue ("dark red", "lemon-yellow" name their last word); "violet", "gray" and
/// other words are kept as written and not judged, as the tool does not guess.
pub fn colour_word(written: &str) -> Option<&'static ColourWord> {
    let folded = written.trim().to_lowercase();
    let last = folded.rsplit([' ', '-']).next().unwrap_or(&folded);
    COLOUR_WORDS.iter().find(|colour| colour.word == last)
}

/// Whether an observed colour word agrees with the expected ones.
///
/// The first expected word is the usual one, and its neighbours agree too. Further words are looks
/// that were seen of the dye, and agree as they stand: otherwise a dye that is red and now and then
/// orange would take every yellow spot.
pub fn judge_colour(observed: Option<&str>, expected: &[String]) -> ColourVerdict {
    let Some(seen) = observed.and_then(colour_word) else {
        return ColourVerdict::NotJudged;
    };
    let mut expected = expected.iter().filter_map(|word| colour_word(word));
    let Some(usual) = expected.next() else {
        return ColourVerdict::NotJudged;
    };
    let agrees = usual.word == seen.word
        || usual.neighbours.contains(&seen.word)
        || expected.any(|word| word.word == seen.word);
    if agrees {
        ColourVerdict::Agrees
    } else {
        ColourVerdict::Disagrees
    }
}

#[cfg(test)]
mod tests {
    use super::{COLOUR_WORDS, ColourVerdict, colour_word, judge_colour};

    #[test]
    fn neighbours_are_mutual() {
        for colour in COLOUR_WORDS {
            for neighbour in colour.neighbours {
                let back = colour_word(neighbour).unwrap();
                assert!(
                    back.neighbours.contains(&colour.word),
                    "{} {neighbour}",
                    colour.word
                );
            }
        }
    }

    #[test]
    fn unknown_words_are_not_judged() {
        let red = vec!["red".to_owned()];
        assert_eq!(judge_colour(Some("Dark Red"), &red), ColourVerdict::Agrees);
        assert_eq!(judge_colour(Some("orange"), &red), ColourVerdict::Agrees);
        assert_eq!(judge_colour(Some("blue"), &red), ColourVerdict::Disagrees);
        assert_eq!(
            judge_colour(Some("mauve-ish"), &red),
            ColourVerdict::NotJudged
        );
        assert_eq!(judge_colour(None, &red), ColourVerdict::NotJudged);
        assert_eq!(judge_colour(Some("red"), &[]), ColourVerdict::NotJudged);
    }

    #[test]
    fn only_the_usual_colour_has_neighbours() {
        let scarlet = vec!["red".to_owned(), "orange".to_owned()];
        assert_eq!(
            judge_colour(Some("orange"), &scarlet),
            ColourVerdict::Agrees
        );
        assert_eq!(judge_colour(Some("pink"), &scarlet), ColourVerdict::Agrees);
        assert_eq!(
            judge_colour(Some("yellow"), &scarlet),
            ColourVerdict::Disagrees
        );
    }
}
