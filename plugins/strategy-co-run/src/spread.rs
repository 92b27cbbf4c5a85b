//! How a dye scatters, in parts that a correction takes out and parts that it leaves.

use dyebook_plugin::strategy::Reference;

use crate::Config;

/// Standard deviations of one dye, in Rf.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Spread {
    /// Of spots on one paper.
    pub(crate) within: f64,
    /// Of papers of a session.
    pub(crate) papers: f64,
    /// What no correction by other dyes takes out: the dye's own share of what sessions and papers
    /// do, and the error of its assigned value.
    pub(crate) own: f64,
}

impl Spread {
    pub(crate) fn of(config: &Config, reference: &Reference) -> Self {
        let sd = reference.sd.unwrap_or_default();
        let or = |stated: Option<f64>, usual: f64| stated.filter(|sd| *sd > 0.0).unwrap_or(usual);
        let within = or(sd.within_paper, config.within_paper);
        let papers = or(sd.between_papers, config.between_papers);
        let sessions = or(sd.between_sessions, config.between_sessions);
        // an assigned value without counts is taken as known
        let count = reference.count.unwrap_or_default();
        let of_mean = |sd: f64, n: Option<u32>| n.map_or(0.0, |n| sd * sd / f64::from(n.max(1)));
        let moved = papers * papers + sessions * sessions + of_mean(sessions, count.sessions);
        let assigned = of_mean(papers, count.papers) + of_mean(within, count.spots);
        Self {
            within,
            papers,
            own: (config.own_share * moved + assigned).sqrt(),
        }
    }
}
