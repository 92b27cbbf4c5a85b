//! Strategy `posterior`: how probable each dye is for each spot, from a mixed model of sessions,
//! papers and spots, over the whole lane.
//!
//! # Model
//! ```text
//! Rf = assigned value of the dye + its error from the reference's own sessions
//!    + session: common shift + common turn + the dye's own part
//!    + paper:   common shift + common turn + the dye's own part
//!    + spot:    the larger of the within-paper SD and the reading uncertainty
//! ```
//! The variances are those of the reference set (`sd`, `count`); where it has none, a third each of
//! what the expected range says. All effects are normal with one unknown common scale, so every spot
//! of known identity on the paper and on the session's other papers updates all others exactly, by
//! one linear system ([`paper`]), and what is left is Student's t. Two bridging lanes take out most
//! of a paper's shift; the session's standards paper takes out the session's.
//!
//! # A lane
//! Each spot is a dye's main spot, an expected minor spot of a dye that is in the lane too, two dyes
//! too near each other to part, or none of the set. Colour words weigh in with their own
//! probabilities; a word that the host doesn't know is not judged. A dye outside the set may lie
//! anywhere and look like anything: density 1 over Rf, every colour word alike. Every way to read
//! the lane is weighed by the joint density of all its spots and summed ([`lane`]); above 20,000
//! ways spots are weighed by themselves ([`separate`]), which the answer says.
//!
//! # Decision
//! A dye is named at probability `identify_at` and `gap` times the next; none of the set at
//! `not_in_set_at`; else the spot is indistinguishable, and the reason says what would decide.
//! Streaks have no centre and are not evaluable; tails, faint spots and spots at the start line or
//! front count less.
//!
//! # What it doesn't do
//! Lanes are read one at a time: what one sample lane says about the paper's shift is not told to
//! the next. A known spot that lies four standard deviations off is left out: it is a mistake for
//! the entry checks, not evidence.

mod choices;
mod colours;
mod config;
mod decide;
mod known;
mod lane;
mod observed;
mod paper;
mod separate;
mod spread;
mod targets;
mod words;

use dyebook_plugin::strategy::{
    Answer, ColourTable, Decision, LaneDye, Question, ReferenceSet, SpotAnswer, Strategy,
};

pub use config::Config;

use choices::{LaneTargets, choices};
use colours::{Colours, WordShares};
use decide::{Weighed, decide};
use known::KnownSpots;
use lane::Reading;
use observed::Observed;
use spread::SpreadModel;
use targets::Targets;
use words::Around;

dyebook_plugin::plugin! {
    id: "dyebook.strategy-posterior", components: { "posterior" => strategy Posterior }
}

/// The manifest of this plug-in.
pub const MANIFEST: &str = include_str!("../manifest.json");

/// Targets within so many standard deviations of a spot are looked at.
const REACH: f64 = 6.0;
/// Up to so many targets in a lane their covariances are worked out.
const JOINT_UP_TO: usize = 24;

/// The strategy with a reference set.
#[derive(Debug)]
pub struct Posterior {
    config: Config,
    set: ReferenceSet,
    table: ColourTable,
    colours: Colours,
    targets: Targets,
    model: SpreadModel,
    any_colour: WordShares,
    log_dye_prior: f64,
}

impl Posterior {
    fn dye_of(&self, target: usize) -> &str {
        &self.set.references[self.targets.all[target].reference].dye
    }

    /// Place of a dye's main spot among the targets.
    fn main_of(&self, dye: &str) -> Option<usize> {
        let reference = self.set.references.iter().position(|entry| entry.dye == dye)?;
        self.targets.mains.get(reference).copied()
    }

    /// The main spot expected nearest to an Rf.
    fn nearest(&self, rf: f64) -> Option<usize> {
        let away = |at: &usize| (self.targets.all[*at].rf - rf).abs();
        self.targets.mains.iter().copied().min_by(|a, b| away(a).total_cmp(&away(b)))
    }

    /// The lane's targets with their joint prediction on its paper.
    fn lane_targets(&self, seen: &[Observed], known: &KnownSpots) -> LaneTargets {
        let mut at: Vec<usize> = Vec::new();
        for spot in seen {
            at.extend(self.targets.near(spot.rf, REACH, spot.u * spot.widening));
        }
        at.sort_unstable();
        at.dedup();
        // a minor spot needs its dye; a dye far from every spot can't be in the lane
        let near = at.clone();
        at.retain(|target| {
            let target = &self.targets.all[*target];
            !target.minor || near.binary_search(&self.targets.mains[target.reference]).is_ok()
        });
        let joint = at.len() <= JOINT_UP_TO;
        let prediction = paper::predict(&self.targets, &at, known, self.model, joint);
        LaneTargets { at, prediction }
    }

    fn dyes(&self, lane: &LaneTargets, reading: &Reading, spots: &[SpotAnswer]) -> Vec<LaneDye> {
        let mut named: Vec<LaneDye> = Vec::new();
        let identified = spots.iter().filter(|spot| spot.decision == Decision::Identified);
        for dye in identified.filter_map(|spot| spot.candidates.first()).flat_map(|best| &best.dyes)
        {
            if named.iter().any(|known| known.dye == *dye) {
                continue;
            }
            let local = self.main_of(dye).and_then(|main| lane.at.binary_search(&main).ok());
            let probability = local.map(|local| reading.present[local].clamp(0.0, 1.0));
            named.push(LaneDye::new(dye, probability));
        }
        named.sort_by(|a, b| {
            let order = b.probability.unwrap_or(0.0).total_cmp(&a.probability.unwrap_or(0.0));
            order.then_with(|| a.dye.cmp(&b.dye))
        });
        named
    }
}

impl Strategy for Posterior {
    type Config = Config;

    fn prepare(config: &Config, set: ReferenceSet) -> dyebook_plugin::Result<Self> {
        config.check()?;
        let table = ColourTable::new(&set.colour_words);
        let colours = Colours::new(&set.colour_words, config);
        let targets = Targets::new(&set, &colours, config);
        #[expect(clippy::cast_precision_loss, reason = "few dyes")]
        let dyes = set.references.len().max(1) as f64;
        Ok(Self {
            config: *config,
            any_colour: colours.any(),
            log_dye_prior: ((1.0 - config.unknown_prior) / dyes).ln(),
            model: SpreadModel::new(config),
            set,
            table,
            colours,
            targets,
        })
    }

    fn match_lane(&self, question: &Question<'_>) -> dyebook_plugin::Result<Answer> {
        let spots = &question.lane.spots;
        if self.set.references.is_empty() {
            let reason = "The method version holds no expected values to compare with.";
            let answer =
                |spot| SpotAnswer::new(spot, Decision::NoValidReference, Vec::new(), reason);
            return Ok(Answer::new(Vec::new(), spots.iter().map(answer).collect()));
        }
        let judged: Vec<Result<Observed, String>> =
            spots.iter().map(|spot| Observed::new(spot, &self.colours, &self.config)).collect();
        let seen: Vec<Observed> = judged.iter().filter_map(|spot| spot.clone().ok()).collect();
        let known = KnownSpots::around(self, question);
        let lane = self.lane_targets(&seen, &known);
        let choices: Vec<Vec<choices::Choice>> =
            seen.iter().map(|spot| choices(self, &lane, spot)).collect();
        let reading = lane::read(self, &lane, &seen, &choices)?;
        let around = Around { known: &known, whole: reading.whole, spots: seen.len() };
        let mut rows = choices.iter().zip(&reading.shares);
        let mut answers = Vec::with_capacity(spots.len());
        for (spot, judged) in spots.iter().zip(&judged) {
            answers.push(match (judged, judged.is_ok().then(|| rows.next()).flatten()) {
                (Ok(seen), Some((choices, shares))) => {
                    decide(self, &lane, &Weighed { spot, seen, choices, shares }, &around)
                }
                (Err(reason), _) => {
                    SpotAnswer::new(spot, Decision::NotEvaluable, Vec::new(), reason)
                }
                // there is a row for every spot that can be judged
                (Ok(_), None) => return Err(dyebook_plugin::Error::internal("a spot got lost")),
            });
        }
        Ok(Answer::new(self.dyes(&lane, &reading, &answers), answers))
    }
}
