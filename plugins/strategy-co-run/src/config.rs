//! Parameters, with why each default is what it is.

use serde::Deserialize;

/// How two and more standards correct a paper.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum Form {
    /// One straight line through all standards.
    ///
    /// The default: a shift and a stretch is what a paper does to all dyes alike, and with three and
    /// more standards the line averages their own errors and shows the residuals.
    #[default]
    Line,
    /// Straight pieces between neighbouring standards, with 0 and 1 as fixed ends.
    ///
    /// For papers whose scale is bent; every standard's own error goes on in full.
    Polygon,
}

/// Parameters of the strategy.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq)]
#[serde(default, deny_unknown_fields)]
pub struct Config {
    /// Line or polygon.
    pub form: Form,
    /// How many standard deviations a corrected spot may lie from the assigned value.
    ///
    /// 2.5: 1.2 % of good spots are lost; 3 would take in a fifth more strangers.
    pub k: f64,
    /// How many times better the best place must fit than the next, where several are within
    /// tolerance, by the ratio of their normal densities.
    ///
    /// 5: of six spots named just there one would be wrong; most are named far above it. Dyes 0.05
    /// apart can't be told on two bridging lanes much better than that, and with 1 every spot
    /// between two dyes would be named.
    pub lead: f64,
    /// How far apart on the reference scale the outermost standards of a line must be.
    ///
    /// 0.2: the slope of a line through two points 0.2 apart, each good to 0.01, is good to 7 %.
    pub minimum_gap: f64,
    /// How far apart neighbouring standards of a polygon must be.
    ///
    /// 0.05: nearer ones would turn their own errors into a steep piece.
    pub polygon_gap: f64,
    /// Largest residual of a third standard, root mean square.
    ///
    /// 0.03: three times the spread on a paper of a careful class. Above it the standards do not
    /// agree on any correction: one is mislabelled, or the order of dyes has changed.
    pub residual_limit: f64,
    /// Spread on a paper, where the reference set states none.
    pub within_paper: f64,
    /// Spread between the papers of a session, where the reference set states none.
    pub between_papers: f64,
    /// Spread between sessions, where the reference set states none.
    pub between_sessions: f64,
    /// Share of the variance between sessions and between papers that is a dye's own.
    ///
    /// 0.15: paper and solvent mostly move all dyes together, which is what standards correct. The
    /// rest stays on every standard and on every spot. 0 would take a line through two standards
    /// for as good as their reading, and lose good spots beside it.
    pub own_share: f64,
}

impl Default for Config {
    fn default() -> Self {
        Self {
            form: Form::Line,
            k: 2.5,
            lead: 5.0,
            minimum_gap: 0.2,
            polygon_gap: 0.05,
            residual_limit: 0.03,
            within_paper: 0.01,
            between_papers: 0.015,
            between_sessions: 0.02,
            own_share: 0.15,
        }
    }
}
