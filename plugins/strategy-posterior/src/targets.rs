//! What a spot may be of: each dye's main spot and each expected minor spot, with its spread.

use dyebook_plugin::strategy::{ColourVerdict, Reference, ReferenceSet};
use dyebook_statistics::variance_components::{MeanSquare, satterthwaite_df};

use crate::Config;
use crate::colours::{Colours, WordShares};
use crate::spread::{Effect, paper, session};

/// No spread is smaller: a ruler on 10 cm shows no less.
const SMALLEST_SD: f64 = 0.003;

/// Sessions of a reference that states its spread and not what that rests on.
const FEWEST_SESSIONS: f64 = 3.0;
/// So many sessions that the assigned value counts as known.
const KNOWN: f64 = 1e9;

/// A place where a spot of a known dye is expected.
#[derive(Clone, Debug)]
pub(crate) struct Target {
    /// Position of its reference in the set.
    pub(crate) reference: usize,
    /// Whether it is an expected minor spot.
    pub(crate) minor: bool,
    /// Expected Rf.
    pub(crate) rf: f64,
    /// Standard deviation on one paper.
    pub(crate) within: f64,
    /// What papers do to it.
    pub(crate) paper: Effect,
    /// What sessions do to it.
    pub(crate) session: Effect,
    /// Variance of the expected Rf itself that papers and spots leave.
    pub(crate) own_mean: f64,
    /// 1/√ of the number of sessions behind the expected Rf.
    pub(crate) mean_weight: f64,
    /// Variance of one spot about the expected Rf, the spread on the paper apart, before anything is
    /// known of the paper.
    pub(crate) variance_apart: f64,
    /// Variance of its place on a paper, before anything is known of the paper.
    pub(crate) prior: f64,
    /// Probability of each colour word.
    pub(crate) colours: WordShares,
    /// Their logarithms.
    pub(crate) log_colours: Vec<f64>,
    /// What each colour word says about it.
    pub(crate) verdicts: Vec<ColourVerdict>,
    /// The usual colour, where it is a word of the table.
    pub(crate) usual: Option<usize>,
}

impl Target {
    /// Standard deviation of one spot about the expected Rf, before anything is known of the paper.
    pub(crate) fn sd(&self) -> f64 {
        (self.within.powi(2) + self.variance_apart).sqrt()
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
    /// The largest standard deviation on one paper.
    pub(crate) widest_on_paper: f64,
    /// Whether any of them is a minor spot.
    pub(crate) any_minor: bool,
}

impl Targets {
    pub(crate) fn new(set: &ReferenceSet, colours: &Colours, config: &Config) -> Self {
        let (middle, width) = scale(set);
        let mut all = Vec::new();
        for (number, entry) in set.references.iter().enumerate() {
            let words: Vec<&String> = entry.colours.iter().collect();
            let spread = EntrySpread::new(entry);
            let place = |rf: f64| (rf - middle) / width;
            let target = |rf: f64, words: &[&String], minor: bool| {
                spread.target(number, minor, rf, place(rf), config, (colours, words))
            };
            all.push(target(entry.centre(), &words, false));
            for minor in &entry.minor_spots {
                let words: Vec<&String> = minor.colour.iter().collect();
                all.push(target(minor.rf, &words, true));
            }
        }
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
        Self {
            df: degrees_of_freedom(set, config),
            mains,
            minors,
            widest,
            widest_on_paper: all.iter().map(|t| t.within).fold(0.0, f64::max),
            any_minor: all.iter().any(|target| target.minor),
            all,
        }
    }

    /// Positions of the targets within `reach` standard deviations of an Rf.
    pub(crate) fn near(&self, rf: f64, reach: f64, extra: f64) -> std::ops::Range<usize> {
        let far = reach * self.widest.hypot(extra);
        let low = self.all.partition_point(|target| target.rf < rf - far);
        let high = self.all.partition_point(|target| target.rf <= rf + far);
        low..high
    }
}

/// Middle and width of the scale on which a turn is measured.
fn scale(set: &ReferenceSet) -> (f64, f64) {
    #[expect(clippy::cast_precision_loss, reason = "few dyes")]
    let n = set.references.len().max(1) as f64;
    let centres = || set.references.iter().map(Reference::centre);
    let middle = centres().sum::<f64>() / n;
    let width = (centres().map(|rf| (rf - middle).powi(2)).sum::<f64>() / n).sqrt();
    (middle, if width > 1e-6 { width } else { 1.0 })
}

/// The standard deviations and counts of one reference, with what stands in for missing ones.
struct EntrySpread {
    within: f64,
    papers: f64,
    sessions: f64,
    session_count: f64,
    own_mean: f64,
}

impl EntrySpread {
    fn new(entry: &Reference) -> Self {
        let range = entry.expected_rf;
        // a 95 % range is about four standard deviations wide; without components each gets a third
        let third = (range.high - range.low) / 4.0 / 3.0_f64.sqrt();
        let sd = entry.sd.unwrap_or_default();
        let usable = |sd: &f64| sd.is_finite() && *sd >= 0.0;
        let or = |given: Option<f64>| given.filter(usable).unwrap_or(third);
        let count = entry.count.unwrap_or_default();
        let at_least = |n: Option<u32>, least: f64| f64::from(n.unwrap_or(0)).max(least);
        // a range alone holds the error of its middle already; with SDs and no counts it is unknown,
        // and taken as that of the fewest sessions a reference should rest on
        let sessions = if entry.sd.is_none() {
            KNOWN
        } else {
            FEWEST_SESSIONS
        };
        let session_count = count.sessions.map_or(sessions, |n| f64::from(n).max(1.0));
        let paper_count = at_least(count.papers, session_count);
        let spot_count = at_least(count.spots, paper_count);
        let (within, papers) = (or(sd.within_paper).max(SMALLEST_SD), or(sd.between_papers));
        let own_mean = papers.powi(2) / paper_count + within.powi(2) / spot_count;
        Self {
            within,
            papers,
            sessions: or(sd.between_sessions),
            session_count,
            own_mean,
        }
    }

    fn target(
        &self,
        reference: usize,
        minor: bool,
        rf: f64,
        z: f64,
        config: &Config,
        (colours, words): (&Colours, &[&String]),
    ) -> Target {
        let shares = colours.of_dye(words);
        let session_mean = 1.0 + 1.0 / self.session_count;
        let mut target = Target {
            reference,
            minor,
            rf,
            within: self.within,
            paper: Effect::new(self.papers, z, config),
            session: Effect::new(self.sessions, z, config),
            own_mean: self.own_mean,
            mean_weight: 1.0 / self.session_count.sqrt(),
            variance_apart: self.papers.powi(2)
                + self.sessions.powi(2) * session_mean
                + self.own_mean,
            log_colours: shares.iter().map(|share| share.ln()).collect(),
            colours: shares,
            verdicts: colours.verdicts(words),
            usual: words.first().and_then(|word| colours.find(word)),
            prior: 0.0,
        };
        target.prior = session(&target, &target, true) + paper(&target, &target, true);
        target
    }
}

/// Degrees of freedom of the spread: the middle one of the dyes' own. They don't add up over dyes,
/// which share sessions and papers.
fn degrees_of_freedom(set: &ReferenceSet, config: &Config) -> f64 {
    let mut all: Vec<f64> = set.references.iter().filter_map(of_reference).collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2)
        .copied()
        .unwrap_or(config.degrees_of_freedom)
        .max(1.0)
}

fn of_reference(entry: &Reference) -> Option<f64> {
    let (sd, count) = (entry.sd?, entry.count?);
    let sessions = f64::from(count.sessions?);
    let papers = f64::from(count.papers?).max(sessions);
    let spots = f64::from(count.spots?).max(papers);
    let part = |sd: Option<f64>, df: f64| {
        let df = if df > 0.0 { df } else { sessions - 1.0 };
        (
            1.0,
            MeanSquare {
                value: sd.unwrap_or(0.0).powi(2),
                df,
            },
        )
    };
    satterthwaite_df(&[
        part(sd.between_sessions, sessions - 1.0),
        part(sd.between_papers, papers - sessions),
        part(sd.within_paper, spots - papers),
    ])
    .ok()
}
