//! How the Rf of targets move together from session to session and from paper to paper.

use crate::Config;
use crate::targets::Target;

/// The covariances of the mixed model.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SpreadModel {
    own: f64,
    slope: f64,
}

impl SpreadModel {
    pub(crate) fn new(config: &Config) -> Self {
        Self { own: config.own_share, slope: config.slope_share }
    }

    /// Correlation of an effect (of a session or of a paper) at two targets: a common shift, a
    /// common turn about the middle of the scale, and each target's own part.
    fn correlation(self, a: &Target, b: &Target, same: bool) -> f64 {
        let turn = (1.0 - self.slope) + self.slope * a.z * b.z;
        let norm = |t: &Target| (1.0 - self.slope) + self.slope * t.z * t.z;
        let common = (1.0 - self.own) * turn / (norm(a) * norm(b)).sqrt();
        common + if same { self.own } else { 0.0 }
    }

    /// Covariance of the Rf of two targets in one session, without what their papers add. The error
    /// of the expected values is in it: it stems from the sessions of the reference.
    pub(crate) fn session(self, a: &Target, b: &Target, same: bool) -> f64 {
        let future_and_mean = 1.0 + 1.0 / (a.session_count * b.session_count).sqrt();
        let shared = a.sessions * b.sessions * self.correlation(a, b, same) * future_and_mean;
        shared + if same { a.own_mean } else { 0.0 }
    }

    /// Covariance that standing on one paper adds.
    pub(crate) fn paper(self, a: &Target, b: &Target, same: bool) -> f64 {
        a.papers * b.papers * self.correlation(a, b, same)
    }
}
