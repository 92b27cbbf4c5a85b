//! Colour words and which of them are neighbours.

use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

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
    place(written).map(|at| &COLOUR_WORDS[at])
}

/// Place of that word among the bundled ones.
fn place(written: &str) -> Option<usize> {
    if written.is_ascii() {
        return place_of_hue(written.trim());
    }
    // Letters outside ASCII may fold to letters inside, and spaces are more than one.
    place_of_hue(&written.trim().to_lowercase())
}

fn place_of_hue(shade: &str) -> Option<usize> {
    let between = shade.bytes().rposition(|byte| matches!(byte, b' ' | b'-'));
    let hue = &shade[between.map_or(0, |at| at + 1)..];
    let is_hue = |colour: &ColourWord| colour.word.eq_ignore_ascii_case(hue);
    COLOUR_WORDS.iter().position(is_hue)
}

/// The bits of each word and its neighbours.
static AROUND: LazyLock<Vec<u16>> = LazyLock::new(|| {
    let around = |colour: &ColourWord| {
        let agrees = |other: &ColourWord| {
            other.word == colour.word || colour.neighbours.contains(&other.word)
        };
        let places = (0..COLOUR_WORDS.len()).filter(|at| agrees(&COLOUR_WORDS[*at]));
        places.fold(0, |bits, place| bits | 1 << place)
    };
    COLOUR_WORDS.iter().map(around).collect()
});

/// The colours that are expected of a dye, folded once for many spots.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct ExpectedColours {
    /// The bundled words that agree, a bit each; none where nothing is expected.
    agreeing: u16,
}

impl ExpectedColours {
    /// The first expected word is the usual one, and its neighbours agree too. Further words are
    /// looks that were seen of the dye, and agree as they stand: otherwise a dye that is red and now
    /// and then orange would take every yellow spot.
    pub fn new<S: AsRef<str>>(expected: impl IntoIterator<Item = S>) -> Self {
        let mut places = expected.into_iter().filter_map(|word| place(word.as_ref()));
        let Some(usual) = places.next() else {
            return Self::default();
        };
        let agreeing = places.fold(AROUND[usual], |bits, place| bits | 1 << place);
        Self { agreeing }
    }

    /// Whether an observed colour word agrees.
    pub fn judge(self, observed: Option<&str>) -> ColourVerdict {
        if self.agreeing == 0 {
            return ColourVerdict::NotJudged;
        }
        self.judge_seen(SeenColour::new(observed))
    }

    /// Whether a folded colour agrees.
    pub fn judge_seen(self, seen: SeenColour) -> ColourVerdict {
        if self.agreeing == 0 || seen.word == 0 {
            ColourVerdict::NotJudged
        } else if self.agreeing & seen.word != 0 {
            ColourVerdict::Agrees
        } else {
            ColourVerdict::Disagrees
        }
    }
}

/// An observed colour, folded once for many dyes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct SeenColour {
    /// The bit of its bundled word; none for other words.
    word: u16,
}

impl SeenColour {
    /// The colour as written.
    pub fn new(observed: Option<&str>) -> Self {
        let word = observed.and_then(place).map_or(0, |place| 1 << place);
        Self { word }
    }
}

/// Whether an observed colour word agrees with the expected ones, see [`ExpectedColours`].
pub fn judge_colour(observed: Option<&str>, expected: &[String]) -> ColourVerdict {
    ExpectedColours::new(expected).judge(observed)
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
