//! Strategy `range`: a dye is a candidate when the spot's Rf lies in its expected range, widened
//! on either side by the reading uncertainty, and its colour does not disagree.
//!
//! One candidate is an identification, several are indistinguishable. Dyes that only their colour
//! excludes are listed after the others and named in the reason.

mod judge;

use dyebook_plugin::strategy::{Answer, ColourTable, Question, ReferenceSet, Strategy, reasons};
use serde::Deserialize;

dyebook_plugin::plugin! { id: "dyebook.strategy-range", components: { "range" => strategy Range } }

/// The manifest of this plug-in.
pub const MANIFEST: &str = include_str!("../manifest.json");

/// Parameters of the strategy.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Config {
    /// How many reading uncertainties an expected range is widened by on either side.
    pub k: f64,
}

impl Default for Config {
    fn default() -> Self {
        Self { k: 2.0 }
    }
}

/// The strategy with a reference set.
#[derive(Debug)]
pub struct Range {
    config: Config,
    set: ReferenceSet,
    colours: ColourTable,
}

impl Strategy for Range {
    type Config = Config;

    fn prepare(config: &Config, set: ReferenceSet) -> dyebook_plugin::Result<Self> {
        let colours = ColourTable::new(&set.colour_words);
        Ok(Self {
            config: *config,
            set,
            colours,
        })
    }

    fn match_lane(&self, question: &Question<'_>) -> dyebook_plugin::Result<Answer> {
        Ok(reasons::judge_each(question.lane, &self.set, |spot, rf| {
            self.judge(spot, rf)
        }))
    }
}
