//! How the Rf of targets move together from session to session and from paper to paper.

use crate::Config;
use crate::targets::Target;

/// One effect (of sessions or of papers) at one target: how far its common shift and its common
/// turn move the target, and the variance that is the target's own.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Effect {
    shift: f64,
    turn: f64,
    own: f64,
}

impl Effect {
    /// An effect of standard deviation `sd` at a place `z` of the scale. Shift and turn are shared
    /// out so that the whole has this standard deviation at every place.
    pub(crate) fn new(sd: f64, z: f64, config: &Config) -> Self {
        let norm = (1.0 - config.slope_share) + config.slope_share * z * z;
        let common = sd * ((1.0 - config.own_share) / norm).sqrt();
        Self {
            shift: common * (1.0 - config.slope_share).sqrt(),
            turn: common * config.slope_share.sqrt() * z,
            own: sd * sd * config.own_share,
        }
    }

    fn with(self, other: Self, same: bool) -> f64 {
        let common = self.shift * other.shift + self.turn * other.turn;
        if same { common + self.own } else { common }
    }
}

/// Covariance of the Rf of two targets in one session, without what their papers add. The error of
/// the expected values is in it: it stems from the sessions of the reference.
pub(crate) fn session(a: &Target, b: &Target, same: bool) -> f64 {
    let future_and_mean = 1.0 + a.mean_weight * b.mean_weight;
    let shared = a.session.with(b.session, same) * future_and_mean;
    if same { shared + a.own_mean } else { shared }
}

/// Covariance that standing on one paper adds.
pub(crate) fn paper(a: &Target, b: &Target, same: bool) -> f64 {
    a.paper.with(b.paper, same)
}
