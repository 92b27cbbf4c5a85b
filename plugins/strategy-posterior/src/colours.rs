//! How probable a colour word is for a dye, for two dyes in one spot, and for a stranger.

use std::collections::BTreeMap;

use dyebook_plugin::strategy::ColourWord;

use crate::Config;

/// What two hues laid over each other look like (mixing of paints; common practice, no source).
/// A pair that is not listed looks like either.
const MIXED: &[(&str, &str, &[&str])] = &[
    ("yellow", "blue", &["green"]),
    ("yellow", "red", &["orange", "red"]),
    ("yellow", "pink", &["orange", "red"]),
    ("yellow", "orange", &["orange", "yellow"]),
    ("yellow", "green", &["green"]),
    ("yellow", "purple", &["brown"]),
    ("red", "blue", &["purple", "black"]),
    ("red", "green", &["brown", "black"]),
    ("pink", "blue", &["purple"]),
    ("orange", "blue", &["brown", "green"]),
    ("orange", "red", &["red", "orange"]),
    ("orange", "green", &["brown", "green"]),
    ("purple", "green", &["black", "brown"]),
];

/// Share of readers who see the mixed hue where two dyes lie in one spot; the others see the
/// stronger of the two.
const SEES_MIXTURE: f64 = 0.6;

/// Share of the usual word among a dye's own words, where there are further ones (our estimate).
const USUAL: f64 = 0.7;

/// Probability of each word of the host's table, in its order.
pub(crate) type WordShares = Vec<f64>;

/// The host's words with the shares of own and neighbouring words.
#[derive(Clone, Debug)]
pub(crate) struct Colours {
    words: Vec<String>,
    neighbours: Vec<Vec<usize>>,
    own: f64,
    neighbour: f64,
    /// For each pair of words (row times width plus column) what their mixture looks like.
    mixtures: Vec<Option<WordShares>>,
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
            words,
            neighbours,
            own,
            neighbour,
            mixtures: Vec::new(),
        };
        let count = colours.words.len();
        colours.mixtures = (0..count * count)
            .map(|pair| {
                let looks = colours.mixed(pair / count, pair % count)?;
                Some(colours.of_dye(looks))
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
        let mixture = match usual {
            [Some(a), Some(b)] => self.mixtures[a * self.words.len() + b].as_ref(),
            _ => None,
        };
        mixture.map_or(either, |mixture| {
            SEES_MIXTURE * mixture[word] + (1.0 - SEES_MIXTURE) * either
        })
    }

    fn mixed(&self, a: usize, b: usize) -> Option<&'static [&'static str]> {
        let (a, b) = (self.words[a].as_str(), self.words[b].as_str());
        let listed = MIXED
            .iter()
            .find(|(x, y, _)| (*x, *y) == (a, b) || (*y, *x) == (a, b));
        listed.map(|(_, _, looks)| *looks)
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
    use dyebook_plugin::strategy::ColourWord;

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
