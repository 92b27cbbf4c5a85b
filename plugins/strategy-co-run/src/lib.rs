//! Strategy `co-run`: the Rf of a spot, corrected by the standards that ran beside it, against the
//! assigned values.
//!
//! The lane's own paper comes first: two and more lanes of known dye there correct it on a line (or
//! in straight pieces), one alone scales it. Only where that fails the standards of the session's
//! other papers do, and the tolerance then allows for the shift between papers. Where nothing
//! corrects, the expected ranges decide and the reason says so.
//!
//! Guards, each told in the reason when it acts: standards far enough apart, the same order as in the
//! reference set, a third standard within `residual_limit`, and no extrapolation without a word. A
//! change of the dyes' order can't be repaired by any line, so it is refused.
//!
//! The tolerance is `k` standard deviations: the spot's own (the larger of the within-paper SD and the
//! reading), the dye's own (the share of what sessions and papers do that is not common to all dyes,
//! and the error of its assigned value), the correction's (whose standards scatter in the same way;
//! it grows outside them), and between papers where they matter. An expected minor spot counts where
//! another spot of the lane may be its dye's main spot.
//!
//! There are no probabilities: one dye within tolerance and not of another colour is an
//! identification, and so is one that fits `lead` times better than any other there; else several are
//! indistinguishable.

mod anchors;
mod config;
mod correction;
mod fits;
mod judge;
mod spread;

use dyebook_plugin::strategy::{Answer, ColourTable, Question, ReferenceSet, Strategy, reasons};

pub use config::{Config, Form};

use anchors::standards;
use correction::Correction;

dyebook_plugin::plugin! {
    id: "dyebook.strategy-co-run", components: { "co-run" => strategy CoRun }
}

/// The manifest of this plug-in.
pub const MANIFEST: &str = include_str!("../manifest.json");

/// The strategy with a reference set.
#[derive(Debug)]
pub struct CoRun {
    config: Config,
    set: ReferenceSet,
    colours: ColourTable,
}

impl Strategy for CoRun {
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
        let papers = standards(&self.config, &self.set, &self.colours, question);
        let correction = Correction::choose(&self.config, &papers);
        Ok(reasons::judge_each(question.lane, &self.set, |spot, rf| {
            self.judge(question.lane, spot, rf, &correction)
        }))
    }
}
