//! How probable a colour word is for a dye, for two dyes in one spot, and for a stranger.

use std::collections::BTreeMap;

use dyebook_plugin::strategy::{ColourTable, ColourVerdict, ColourWord};

use crate::Config;

/// What two hues laid over each other look like (mixing of paints; common practice, no source).
/// Neighbours look like either, two hues that are listed nowhere like [`MUD`].
const MIXED: &[(&str, &str, &str)] = &[
    ("yellow", "red", "orange"),
    ("yellow", "pink", "orange"),
    ("yellow", "blue", "green"),
    ("red", "blue", "purple"),
    ("pink", "blue", "purple"),
];

/// What two hues make that are far from each other and not listed.
const MUD: &str = "brown";

/// Black hides what lies under it, and a colourless spot hides nothing.
const HIDES: &str = "black";
const SHOWS_NOTHING: &str = "colourless";

/// Share of spots of two dyes that show the mixed hue. In the others one of the two is so faint
/// that the spot looks like the stronger: where amounts differ up to ten-fold, one lies below a
/// fifth of the whole in a sixth of cases, and readers see a little less than there is.
const SEES_MIXTURE: f64 = 0.8;

/// Share of the usual word among a dye's own words, where there are further ones (our estimate).
const USUAL: f64 = 0.7;

/// Probability of each word of the host's table, in its order.
pub(crate) type WordShares = Vec<f64>;

/// The look of two dyes in one spot.
#[derive(Clone, Debug)]
struct Mixture {
    shares: WordShares,
    verdicts: Vec<ColourVerdict>,
}

/// The host's words with the shares of own and neighbouring words.
#[derive(Clone, Debug)]
pub(crate) struct Colours {
    table: ColourTable,
    words: Vec<String>,
    neighbours: Vec<Vec<usize>>,
    own: f64,
    neighbour: f64,
    /// For each pair of words (row times width plus column) what their mixture looks like, where it
    /// has a hue of its own.
    mixtures: Vec<Option<Mixture>>,
}

impl Colours {
    pub(crate) fn new(table: &[ColourWord], config: &Config) -> Self {
        let words: Vec<String> = table.iter().map(|word| fold(&word.word)).collect();
        let places: BTreeMap<&str, usize> = words
            .iter()
            .enumerate()
            .map(|(at, word)| (word.as_str(), at))
            .collect();
        let neighbours = table
            .iter()
            .map(|word| {
                let near = word.neighbours.iter();
                near.filter_map(|word| places.get(fold(word).as_str()).copied())
                    .collect()
            })
            .collect();
        let (own, neighbour) = (config.colour_own, config.colour_neighbour);
        let mut colours = Self {
            table: ColourTable::new(table),
            words,
            neighbours,
            own,
            neighbour,
            mixtures: Vec::new(),
        };
        let count = colours.words.len();
        colours.mixtures = (0..count * count)
            .map(|pair| {
                let word = colours.mixed(pair / count, pair % count)?;
                let look = [&colours.words[word]];
                Some(Mixture {
                    shares: colours.of_dye(&look),
                    verdicts: colours.verdicts(&look),
                })
            })
            .collect();
        colours
    }

    /// The word of the table that a written word is: a shade counts as its hue.
    pub(crate) fn find(&self, written: &str) -> Option<usize> {
        let at = |wanted: &str| self.words.iter().position(|word| word == wanted);
        at(written).or_else(|| {
            let folded = fold(written);
            let hue = folded.rsplit([' ', '-']).next().unwrap_or(&folded);
            at(&folded).or_else(|| at(hue))
        })
    }

    /// Every word alike: a stranger, or a dye whose colour nobody wrote down.
    pub(crate) fn any(&self) -> WordShares {
        let one = 1.0 / count(self.words.len().max(1));
        vec![one; self.words.len()]
    }

    /// Words for a dye. The first of its own words is the usual one, see [`USUAL`].
    pub(crate) fn of_dye<S: AsRef<str>>(&self, colours: &[S]) -> WordShares {
        let own: Vec<usize> = colours
            .iter()
            .filter_map(|word| self.find(word.as_ref()))
            .collect();
        let Some((&usual, further)) = own.split_first() else {
            return self.any();
        };
        let near: Vec<usize> = self.neighbours[usual]
            .iter()
            .copied()
            .filter(|word| !own.contains(word))
            .collect();
        let mut shares = vec![0.0; self.words.len()];
        let mut give = |words: &[usize], share: f64| {
            for word in words {
                shares[*word] += share / count(words.len());
            }
        };
        let own_share = if near.is_empty() {
            self.own + self.neighbour
        } else {
            self.own
        };
        let usual_share = if further.is_empty() {
            own_share
        } else {
            own_share * USUAL
        };
        give(&[usual], usual_share);
        give(further, own_share - usual_share);
        give(&near, self.neighbour);
        let rest: Vec<usize> = (0..self.words.len())
            .filter(|word| !own.contains(word) && !near.contains(word))
            .collect();
        give(&rest, 1.0 - self.own - self.neighbour);
        let total: f64 = shares.iter().sum();
        shares.iter().map(|share| share / total).collect()
    }

    /// Probability of one word for two dyes in one spot, by their usual colours and own shares.
    pub(crate) fn of_pair(
        &self,
        word: usize,
        usual: [Option<usize>; 2],
        shares: [&[f64]; 2],
    ) -> f64 {
        let either = f64::midpoint(shares[0][word], shares[1][word]);
        self.mixture(usual).map_or(either, |mixture| {
            SEES_MIXTURE * mixture.shares[word] + (1.0 - SEES_MIXTURE) * either
        })
    }

    /// What one word says about two dyes in one spot, where their mixture has a hue of its own.
    pub(crate) fn verdict_of_pair(
        &self,
        word: usize,
        usual: [Option<usize>; 2],
    ) -> Option<ColourVerdict> {
        Some(self.mixture(usual)?.verdicts[word])
    }

    /// What each word of the host's table says about a dye of these colours, in the table's order.
    pub(crate) fn verdicts<S: AsRef<str>>(&self, colours: &[S]) -> Vec<ColourVerdict> {
        let words = self.words.iter();
        words
            .map(|word| self.table.judge(Some(word), colours))
            .collect()
    }

    fn mixture(&self, usual: [Option<usize>; 2]) -> Option<&Mixture> {
        match usual {
            [Some(a), Some(b)] => self.mixtures[a * self.words.len() + b].as_ref(),
            _ => None,
        }
    }

    /// The word of two hues over each other, where it is neither of them.
    fn mixed(&self, a: usize, b: usize) -> Option<usize> {
        let alike = a == b || self.neighbours[a].contains(&b) || self.neighbours[b].contains(&a);
        let (a, b) = (self.words[a].as_str(), self.words[b].as_str());
        if alike || a == SHOWS_NOTHING || b == SHOWS_NOTHING {
            return None;
        }
        let listed = MIXED
            .iter()
            .find(|(x, y, _)| (*x, *y) == (a, b) || (*y, *x) == (a, b));
        let looks = match listed {
            Some((_, _, looks)) => looks,
            None if a == HIDES || b == HIDES => HIDES,
            None => MUD,
        };
        self.find(looks)
    }
}

fn fold(word: &str) -> String {
    word.trim().to_lowercase()
}

#[expect(clippy::cast_precision_loss, reason = "a handful of words")]
fn count(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    use super::Colours;
    use crate::Config;
    use dyebook_plugin::strategy::{ColourVerdict, ColourWord};

    fn table() -> Colours {
        let words = [
            ColourWord::new("red", &["pink", "orange"]),
            ColourWord::new("pink", &["red"]),
            ColourWord::new("orange", &["red", "yellow"]),
            ColourWord::new("yellow", &["orange", "green"]),
            ColourWord::new("green", &["yellow", "blue"]),
            ColourWord::new("blue", &["green"]),
        ];
        Colours::new(&words, &Config::default())
    }

    #[test]
    fn shares_of_every_look_add_up_to_one() {
        let colours = table();
        let red = colours.of_dye(&["red"]);
        let blue = colours.of_dye(&["blue", "green"]);
        let usual = [colours.find("red"), colours.find("blue")];
        let both: Vec<f64> = (0..6)
            .map(|word| colours.of_pair(word, usual, [&red, &blue]))
            .collect();
        for shares in [
            &red,
            &blue,
            &both,
            &colours.any(),
            &colours.of_dye::<&str>(&[]),
        ] {
            assert!(
                (shares.iter().sum::<f64>() - 1.0).abs() < 1e-12,
                "{shares:?}"
            );
        }
    }

    #[test]
    fn own_words_beat_neighbours_and_neighbours_beat_strangers() {
        let colours = table();
        let red = colours.of_dye(&["red"]);
        let share = |word: &str| red[colours.find(word).unwrap()];
        assert!(share("Dark Red") > share("pink") && share("pink") > share("blue"));
    }

    /// What two dyes look like in one spot, where that is neither's own word.
    fn looks(a: &str, b: &str) -> Option<String> {
        let hues = ["red", "orange", "yellow", "green", "blue", "brown", "black"];
        let mut words: Vec<ColourWord> = hues.iter().map(|hue| ColourWord::new(hue, &[])).collect();
        words[0] = ColourWord::new("red", &["orange"]);
        let colours = Colours::new(&words, &Config::default());
        let usual = [colours.find(a), colours.find(b)];
        let agrees =
            |word: &usize| colours.verdict_of_pair(*word, usual) == Some(ColourVerdict::Agrees);
        (0..hues.len()).find(agrees).map(|word| hues[word].into())
    }

    #[test]
    fn hues_mix_as_paints_do() {
        for (a, b, look) in [
            ("yellow", "blue", Some("green")),
            ("blue", "yellow", Some("green")),
            ("orange", "blue", Some("brown")),
            ("black", "yellow", Some("black")),
            ("red", "orange", None),
            ("red", "red", None),
        ] {
            assert_eq!(looks(a, b).as_deref(), look, "{a} over {b}");
        }
        // no word for it in the host's table
        assert_eq!(looks("red", "blue"), None);
    }

    #[test]
    fn yellow_over_blue_looks_green() {
        let colours = table();
        let (yellow, blue) = (colours.of_dye(&["yellow"]), colours.of_dye(&["blue"]));
        let usual = [colours.find("yellow"), colours.find("blue")];
        let both: Vec<f64> = (0..6)
            .map(|word| colours.of_pair(word, usual, [&yellow, &blue]))
            .collect();
        let green = colours.find("green").unwrap();
        assert!(both.iter().all(|share| *share <= both[green]));
    }
}
