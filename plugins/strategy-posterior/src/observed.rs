//! A spot as evidence: where it is, how sure that is, and what its colour word is worth.

use dyebook_plugin::strategy::{Spot, reasons};

use crate::Config;
use crate::colours::Colours;
use crate::targets::Target;

const FAINT: [&str; 5] = ["faint", "weak", "pale", "light", "trace"];

/// Share of its colour evidence that a faint spot keeps: pale hues are the ones most often confused.
const FAINT_COLOUR: f64 = 0.5;

/// A spot that can be judged.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Observed {
    pub(crate) rf: f64,
    /// Standard uncertainty from reading; 0 where none is given.
    pub(crate) u: f64,
    /// Factor on the spread on the paper.
    pub(crate) widening: f64,
    /// Place of its colour word in the host's table.
    pub(crate) colour: Option<usize>,
    /// How much of the colour evidence counts.
    pub(crate) colour_trust: f64,
}

impl Observed {
    /// The evidence in a spot, or why it holds none.
    pub(crate) fn new(spot: &Spot, colours: &Colours, config: &Config) -> Result<Self, String> {
        let mut seen = Self::place(spot, config)?;
        seen.colour = spot.colour.as_deref().and_then(|word| colours.find(word));
        Ok(seen)
    }

    /// The evidence in a spot's place alone.
    pub(crate) fn place(spot: &Spot, config: &Config) -> Result<Self, String> {
        let rf = reasons::evaluable(spot)?;
        let faint = is_faint(spot);
        let mut widening: f64 = 1.0;
        if reasons::tail_note(spot, None).is_some() {
            widening *= config.tail_widening;
        }
        if faint {
            widening *= config.faint_widening;
        }
        if is_at_an_end(rf) {
            widening *= config.edge_widening;
        }
        let u = spot.u.filter(|u| u.is_finite() && *u > 0.0).unwrap_or(0.0);
        let colour_trust = if faint { FAINT_COLOUR } else { 1.0 };
        Ok(Self {
            rf,
            u,
            widening,
            colour: None,
            colour_trust,
        })
    }

    /// Variance on the paper for a target of this standard deviation. The established within-paper
    /// SD holds the reading already; reading counts by itself where it alone is worse.
    pub(crate) fn noise(&self, within: f64) -> f64 {
        (within.max(self.u) * self.widening).powi(2)
    }

    /// Logarithm of how probable the spot's colour word is; 0 where it is not judged.
    pub(crate) fn log_colour(&self, shares: &[f64]) -> f64 {
        let share = self.colour.and_then(|word| shares.get(word));
        share.map_or(0.0, |share| self.log_share(*share, shares.len()))
    }

    /// Logarithm of a share among so many words, as far as the spot's colour can be trusted.
    pub(crate) fn log_share(&self, share: f64, words: usize) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a handful of words")]
        let even = 1.0 / words as f64;
        (self.colour_trust * share + (1.0 - self.colour_trust) * even).ln()
    }

    /// The same for a target, whose logarithms are worked out already.
    pub(crate) fn log_colour_of(&self, target: &Target) -> f64 {
        match self.colour {
            None => 0.0,
            Some(word) if self.colour_trust >= 1.0 => target.log_colours[word],
            Some(_) => self.log_colour(&target.colours),
        }
    }
}

/// Whether a spot is noted as faint.
pub(crate) fn is_faint(spot: &Spot) -> bool {
    let Some(depth) = spot.depth.as_deref().map(str::to_lowercase) else {
        return false;
    };
    depth
        .split(|c: char| !c.is_alphanumeric())
        .any(|word| FAINT.contains(&word))
}

/// Whether an Rf lies where spots pile up: at the start line or the front.
pub(crate) fn is_at_an_end(rf: f64) -> bool {
    !(0.05..=0.95).contains(&rf)
}
