//! Sentences under way: what they are put together from.

use dyebook_plugin::strategy::reasons;

use crate::decide::Dyes;

/// Bytes that most reasons have room in.
const USUAL_LENGTH: usize = 320;

/// A text to which one piece after the other is added.
pub(crate) struct Telling(String);

impl Telling {
    pub(crate) fn new() -> Self {
        Self(String::with_capacity(USUAL_LENGTH))
    }

    /// Begins the next sentence.
    pub(crate) fn sentence(&mut self, words: &str) -> &mut Self {
        if !self.0.is_empty() {
            self.0.push(' ');
        }
        self.text(words)
    }

    pub(crate) fn text(&mut self, words: &str) -> &mut Self {
        self.0.push_str(words);
        self
    }

    /// A number with so many decimals.
    pub(crate) fn rounded(&mut self, value: f64, decimals: usize) -> &mut Self {
        reasons::push_rounded(&mut self.0, value, decimals);
        self
    }

    /// A probability in per cent, with as many digits as are worth telling.
    pub(crate) fn percent(&mut self, probability: f64) -> &mut Self {
        if probability > 0.9995 {
            return self.text("above 99.9 %");
        }
        let decimals = usize::from(!(0.01..0.995).contains(&probability));
        self.rounded(100.0 * probability, decimals).text(" %")
    }

    /// One dye, or two in one spot.
    pub(crate) fn dyes(&mut self, dyes: Dyes<'_>) -> &mut Self {
        self.text(dyes.one);
        match dyes.other {
            Some(other) => self.text(" and ").text(other).text(" in one spot"),
            None => self,
        }
    }

    pub(crate) fn number(&mut self, number: usize) -> &mut Self {
        self.text(&number.to_string())
    }

    /// So many known spots.
    pub(crate) fn known_spots(&mut self, number: usize) -> &mut Self {
        match number {
            1 => self.text("1 known spot"),
            number => self.number(number).text(" known spots"),
        }
    }

    /// What stands before an item of a list: `a`, `a or b`, `a, b or c`.
    pub(crate) fn before(&mut self, item: usize, items: usize, last: &str) -> &mut Self {
        match item {
            0 => self,
            _ if item + 1 == items => self.text(last),
            _ => self.text(", "),
        }
    }

    pub(crate) fn end(self) -> String {
        self.0
    }
}
