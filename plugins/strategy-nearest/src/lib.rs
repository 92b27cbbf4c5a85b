//! Strategy `nearest`: the dye whose assigned Rf is nearest in standard deviations.
//!
//! The distance is
//!
//! ```text
//! z = (Rf - assigned) / sqrt(s² + u²)
//! ```
//!
//! with s the reproducibility standard deviation of the reference (its components added in
//! quadrature) and u the reading uncertainty of the spot. Where a reference has no standard
//! deviations, s is half of the half width of its expected range, and the reason says so.
//! A candidate has |z| at most `cut_off`; another one of fitting colour less than `gap` farther away
//! makes the two indistinguishable.

mod distance;
mod judge;

use dyebook_plugin::strategy::{Answer, ColourTable, Question, ReferenceSet, Strategy, reasons};
use serde::Deserialize;

pub use distance::{Basis, spread};

dyebook_plugin::plugin! {
    id: "dyebook.strategy-nearest", components: { "nearest" => strategy Nearest }
}

/// The manifest of this plug-in.
pub const MANIFEST: &str = include_str!("../manifest.json");

/// Parameters of the strategy.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Config {
    /// How many standard deviations away a candidate may lie.
    pub cut_off: f64,
    /// How many standard deviations farther away the next candidate must lie to be told apart.
    pub gap: f64,
}

impl Default for Config {
    fn default() -> Self {
        Self {
            cut_off: 3.0,
            gap: 1.0,
        }
    }
}

/// The strategy with a reference set.
#[derive(Debug)]
pub struct Nearest {
    config: Config,
    set: ReferenceSet,
    colours: ColourTable,
}

impl Strategy for Nearest {
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
