//! What a spot may be of: each dye's main spot and each expected minor spot, with its spread.

use dyebook_plugin::strategy::{Reference, ReferenceSet};
use dyebook_statistics::variance_components::{MeanSquare, satterthwaite_df};

use crate::Config;
use crate::colours::{Colours, WordShares};

/// No spread is smaller: a ruler on 10 cm shows no less.
const SMALLEST_SD: f64 = 0.003;

/// A place where a spot of a known dye is expected.
#[derive(Clone, Debug)]
pub(crate) struct Target {
    /// Position of its reference in the set.
    pub(crate) reference: usize,
    /// Whether it is an expected minor spot.
    pub(crate) minor: bool,
    /// Expected Rf.
    pub(crate) rf: f64,
    /// Place on the scale of the set: mean 0, spread 1.
    pub(crate) z: f64,
    /// Standard deviation on one paper.
    pub(crate) within: f64,
    /// Standard deviation between papers of a session.
    pub(crate) papers: f64,
    /// Standard deviation between sessions.
    pub(crate) sessions: f64,
    /// Variance of the expected Rf itself that papers and spots leave.
    pub(crate) own_mean: f64,
    /// Sessions behind the expected Rf.
    pub(crate) session_count: f64,
    /// Probability of each colour word.
    pub(crate) colours: WordShares,
    /// The usual colour, where it is a word of the table.
    pub(crate) usual: Option<usize>,
}

impl Target {
    /// Standard deviation of one spot about the expected Rf, before anything is known of the paper.
    pub(crate) fn sd(&self) -> f64 {
        let mean = self.sessions.powi(2) / self.session_count + self.own_mean;
        (self.within.powi(2) + self.papers.powi(2) + self.sessions.powi(2) + mean).sqrt()
    }
}

/// All targets, by rising Rf.
#[derive(Clone, Debug)]
pub(crate) struct Targets {
    pub(crate) all: Vec<Target>,
    /// Position in `all` of each reference's main spot.
    pub(crate) mains: Vec<usize>,
    /// Positions in `all` of each reference's minor spots.
    pub(crate) minors: Vec<Vec<usize>>,
    /// Degrees of freedom of the spread as a whole.
    pub(crate) df: f64,
    /// The largest standard deviation, the limit of any search.
    pub(crate) widest: f64,
}

impl Targets {
    pub(crate) fn new(set: &ReferenceSet, colours: &Colours, config: &Config) -> Self {
        let mut all = Vec::new();
        for (reference, entry) in set.references.iter().enumerate() {
            let main = target(reference, entry, colours);
            for minor in &entry.minor_spots {
                let words: Vec<&String> = minor.colour.iter().collect();
                let shares = colours.of_dye(&words);
                let usual = words.first().and_then(|word| colours.find(word));
                let rf = minor.rf;
                all.push(Target { minor: true, rf, colours: shares, usual, ..main.clone() });
            }
            all.push(main);
        }
        place_on_scale(&mut all);
        all.sort_by(|a, b| a.rf.total_cmp(&b.rf).then(a.reference.cmp(&b.reference)));
        let mut mains = vec![0; set.references.len()];
        let mut minors = vec![Vec::new(); set.references.len()];
        for (at, target) in all.iter().enumerate() {
            if target.minor {
                minors[target.reference].push(at);
            } else {
                mains[target.reference] = at;
            }
        }
        let widest = all.iter().map(Target::sd).fold(0.0, f64::max);
        Self { df: degrees_of_freedom(set, config), mains, minors, widest, all }
    }

    /// Positions of the targets within `reach` standard deviations of an Rf.
    pub(crate) fn near(&self, rf: f64, reach: f64, extra: f64) -> std::ops::Range<usize> {
        let far = reach * self.widest.hypot(extra);
        let low = self.all.partition_point(|target| target.rf < rf - far);
        let high = self.all.partition_point(|target| target.rf <= rf + far);
        low..high
    }
}

fn target(reference: usize, entry: &Reference, colours: &Colours) -> Target {
    let range = entry.expected_rf;
    // a 95 % range is about four standard deviations wide; without components each gets a third
    let third = (range.high - range.low) / 4.0 / 3.0_f64.sqrt();
    let sd = entry.sd.unwrap_or_default();
    let or = |given: Option<f64>| given.filter(|sd| sd.is_finite() && *sd >= 0.0).unwrap_or(third);
    let count = entry.count.unwrap_or_default();
    let at_least = |n: Option<u32>, least: f64| f64::from(n.unwrap_or(0)).max(least);
    let session_count = at_least(count.sessions, 1.0);
    let paper_count = at_least(count.papers, session_count);
    let spot_count = at_least(count.spots, paper_count);
    let (within, papers) = (or(sd.within_paper).max(SMALLEST_SD), or(sd.between_papers));
    Target {
        reference,
        minor: false,
        rf: entry.centre(),
        z: 0.0,
        within,
        papers,
        sessions: or(sd.between_sessions),
        own_mean: papers.powi(2) / paper_count + within.powi(2) / spot_count,
        session_count,
        colours: colours.of_dye(&entry.colours),
        usual: entry.colours.first().and_then(|word| colours.find(word)),
    }
}

fn place_on_scale(all: &mut [Target]) {
    #[expect(clippy::cast_precision_loss, reason = "few targets")]
    let n = all.len().max(1) as f64;
    let mean = all.iter().map(|target| target.rf).sum::<f64>() / n;
    let spread = (all.iter().map(|t| (t.rf - mean).powi(2)).sum::<f64>() / n).sqrt();
    for target in all {
        target.z = if spread > 1e-6 { (target.rf - mean) / spread } else { 0.0 };
    }
}

/// Degrees of freedom of the spread: the middle one of the dyes' own. They don't add up over dyes,
/// which share sessions and papers.
fn degrees_of_freedom(set: &ReferenceSet, config: &Config) -> f64 {
    let mut all: Vec<f64> = set.references.iter().filter_map(of_reference).collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied().unwrap_or(config.degrees_of_freedom).max(1.0)
}

fn of_reference(entry: &Reference) -> Option<f64> {
    let (sd, count) = (entry.sd?, entry.count?);
    let sessions = f64::from(count.sessions?);
    let papers = f64::from(count.papers?).max(sessions);
    let spots = f64::from(count.spots?).max(papers);
    let part = |sd: Option<f64>, df: f64| {
        let df = if df > 0.0 { df } else { sessions - 1.0 };
        (1.0, MeanSquare { value: sd.unwrap_or(0.0).powi(2), df })
    };
    satterthwaite_df(&[
        part(sd.between_sessions, sessions - 1.0),
        part(sd.between_papers, papers - sessions),
        part(sd.within_paper, spots - papers),
    ])
    .ok()
}
