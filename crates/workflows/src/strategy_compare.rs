//! Strategies beside each other: how often each is right where the truth is known, whether their
//! probabilities can be believed, and every verdict on which two of them differ.
//!
//! Each method version is counted by itself: its reference set is what a strategy answers from, so a
//! figure over several of them would be a figure of nothing.

use crate::failure::Failure;
use crate::lane_identity::lane_identity;
use crate::matcher::{Matcher, answers};
use crate::resolve_method::resolve_method;
use crate::strategy_compare_cases::{AskedLane, Cases, kept_cases};
use crate::strategy_compare_score::{LEAST_PROBABILITY, Rates, rates};
use crate::strategy_compare_simulate::{Simulation, assumptions, simulated_cases};
use crate::strategy_compare_words::{held_words, same_verdict, spot_verdict};
use dyebook_documents::{DyeRegister, SpotIdentity, StrategyStamp, Where, counted};
use dyebook_library::{KeptSheet, Library};
use dyebook_plugin::strategy as message;
use serde::Serialize;
use std::collections::BTreeMap;

/// On what strategies are compared.
#[derive(Debug, Clone, Copy)]
pub enum ComparedOn<'a> {
    /// Kept sheets; what is recorded of their samples is the truth.
    Sheets(&'a [KeptSheet]),
    /// Simulated groups of a method version, whose truth is known exactly.
    Simulated {
        /// The method version.
        method: &'a str,
        /// The term.
        simulation: Simulation,
    },
}

/// Strategies beside each other.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ComparedStrategies {
    /// What they were compared on, in words.
    pub covers: String,
    /// Sheets or simulated groups.
    pub sheets: usize,
    /// Sample lanes.
    pub lanes: usize,
    /// Their spots.
    pub spots: usize,
    /// The strategies, in the order in which they were asked.
    pub strategies: Vec<StrategyStamp>,
    /// The method versions with their figures; nothing is pooled across them.
    pub versions: Vec<ComparedOnVersion>,
    /// What must be known with the figures.
    pub notes: Vec<String>,
    /// Whether a method is invented for the demo.
    #[serde(skip)]
    pub demo: bool,
}

/// Strategies beside each other on one method version.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ComparedOnVersion {
    /// `id@version`.
    pub method: String,
    /// Sheets or simulated groups.
    pub sheets: usize,
    /// Sample lanes.
    pub lanes: usize,
    /// Of those, lanes of which it isn't recorded what they hold; they count for differences only.
    pub lanes_without_truth: usize,
    /// Their spots.
    pub spots: usize,
    /// The strategies, in the order in which they were asked.
    pub strategies: Vec<ComparedStrategy>,
    /// Spots on which two of them differ.
    pub differences: Vec<Difference>,
}

/// One strategy with its figures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ComparedStrategy {
    /// Which one, with its parameters.
    #[serde(flatten)]
    pub strategy: StrategyStamp,
    /// How often it is right.
    pub rates: Rates,
    /// Lanes for which it failed to answer.
    pub failed: usize,
}

/// A spot on which two strategies differ.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Difference {
    /// Sheet, or simulated group.
    pub sheet: String,
    /// Where.
    #[serde(rename = "where")]
    pub place: Where,
    /// Label of the lane.
    pub label: String,
    /// Rf of the spot.
    pub rf: Option<f64>,
    /// What the spot (in a simulation) or its lane (on a sheet) holds, where that is known.
    pub truth: Option<String>,
    /// What each strategy says, in their order.
    pub verdicts: Vec<String>,
}

/// One strategy's answers, lane by lane as asked.
pub(crate) struct Answers {
    strategy: StrategyStamp,
    pub(crate) lanes: Vec<Vec<SpotIdentity>>,
    failed: usize,
}

/// Compares strategies on the sample lanes of sheets or of simulated groups. Nothing is stored.
///
/// # Errors
/// A strategy that can't be used, a method that leads nowhere, what the library says.
pub fn compare_strategies(
    library: &Library,
    dyes: &DyeRegister,
    on: ComparedOn<'_>,
    matchers: &mut [Box<dyn Matcher>],
) -> Result<ComparedStrategies, Failure> {
    let (all, mut notes) = cases(library, dyes, on)?;
    let mut versions = vec![];
    for of_version in all.chunk_by(|a, b| a.method == b.method) {
        versions.push(compared_version(of_version, on, dyes, matchers)?);
    }
    notes.extend(counting_notes(&versions));
    let total = |of: fn(&ComparedOnVersion) -> usize| versions.iter().map(of).sum();
    Ok(ComparedStrategies {
        covers: covers(on, &versions),
        sheets: total(|one| one.sheets),
        lanes: total(|one| one.lanes),
        spots: total(|one| one.spots),
        strategies: matchers.iter().map(|one| one.stamp()).collect(),
        versions,
        notes,
        demo: all.iter().any(|cases| cases.demo),
    })
}

/// What is asked of one version: one set of cases, or two where it was withdrawn in between.
fn compared_version(
    all: &[Cases],
    on: ComparedOn<'_>,
    dyes: &DyeRegister,
    matchers: &mut [Box<dyn Matcher>],
) -> Result<ComparedOnVersion, Failure> {
    let lanes: Vec<&AskedLane> = all.iter().flat_map(|cases| &cases.lanes).collect();
    let mut answers = vec![];
    for matcher in matchers {
        answers.push(ask(&mut **matcher, all)?);
    }
    let sets = sets_of(all);
    let in_set = |lane: &AskedLane, dye: &str| {
        sets.get(lane.sheet.as_str())
            .is_some_and(|set| set.references.iter().any(|one| one.dye == dye))
    };
    Ok(ComparedOnVersion {
        method: all
            .first()
            .map(|one| one.method.clone())
            .unwrap_or_default(),
        sheets: sets.len(),
        lanes: lanes.len(),
        lanes_without_truth: lanes.iter().filter(|lane| lane.holds.is_none()).count(),
        spots: lanes.iter().map(|lane| lane.truths.len()).sum(),
        differences: differences(&lanes, &answers, on, dyes),
        strategies: answers
            .into_iter()
            .map(|one| ComparedStrategy {
                rates: rates(
                    lanes
                        .iter()
                        .copied()
                        .zip(one.lanes.iter().map(Vec::as_slice)),
                    &in_set,
                ),
                strategy: one.strategy,
                failed: one.failed,
            })
            .collect(),
    })
}

fn cases(
    library: &Library,
    dyes: &DyeRegister,
    on: ComparedOn<'_>,
) -> Result<(Vec<Cases>, Vec<String>), Failure> {
    match on {
        ComparedOn::Sheets(sheets) => Ok((kept_cases(library, dyes, sheets)?, vec![])),
        ComparedOn::Simulated { method, simulation } => {
            let kept = resolve_method(library, method)?;
            let document = kept.method()?;
            if document.references.is_empty() {
                return Err(Failure::refused(
                    "strategy.nothing-to-simulate",
                    format!("`{}` has no reference values to simulate", kept.name()),
                ));
            }
            let cases = Cases::new(&kept, &document, dyes, true);
            let cases = simulated_cases(cases, &document, dyes, simulation);
            Ok((vec![cases], assumptions(simulation)))
        }
    }
}

/// Asks about all lanes, version by version.
pub(crate) fn ask(matcher: &mut dyn Matcher, all: &[Cases]) -> Result<Answers, Failure> {
    let mut lanes = vec![];
    let mut failed = 0;
    for cases in all {
        let mut given = answers(matcher, &cases.set, &cases.request)?.into_iter();
        for lane in &cases.lanes {
            let identity = lane_identity(&lane.lane, given.next());
            failed += usize::from(identity.failed.is_some());
            lanes.push(identity.spots);
        }
    }
    Ok(Answers {
        // Where a strategy ran is known once it answered.
        strategy: matcher.stamp(),
        lanes,
        failed,
    })
}

fn sets_of(all: &[Cases]) -> BTreeMap<&str, &message::ReferenceSet> {
    all.iter()
        .flat_map(|cases| {
            cases
                .request
                .sheets
                .iter()
                .map(move |s| (&*s.sheet, &cases.set))
        })
        .collect()
}

fn covers(on: ComparedOn<'_>, versions: &[ComparedOnVersion]) -> String {
    let methods: Vec<&str> = versions.iter().map(|one| one.method.as_str()).collect();
    let methods = methods.join(", ");
    match on {
        ComparedOn::Sheets(sheets) => format!("{} of {methods}", counted(sheets.len(), "sheet")),
        ComparedOn::Simulated { simulation, .. } => {
            let groups = counted(simulation.groups, "simulated group");
            format!("{groups} of {methods}")
        }
    }
}

/// How the figures are counted.
fn counting_notes(versions: &[ComparedOnVersion]) -> Vec<String> {
    let mut notes = vec![];
    if versions.len() > 1 {
        notes.push(format!(
            "each of the {} method versions is counted by itself; no figure runs over two of them",
            versions.len()
        ));
    }
    let mut strategies = versions.iter().flat_map(|one| &one.strategies);
    if strategies.any(|one| one.rates.probabilities.is_some()) {
        notes.push(format!(
            "in the log loss a probability below {LEAST_PROBABILITY} counts as {LEAST_PROBABILITY}"
        ));
    }
    notes
}

fn differences(
    lanes: &[&AskedLane],
    answers: &[Answers],
    on: ComparedOn<'_>,
    dyes: &DyeRegister,
) -> Vec<Difference> {
    let mut out = vec![];
    for (at, lane) in lanes.iter().enumerate() {
        for (position, spot) in lane.lane.spots.iter().enumerate() {
            let said: Vec<&SpotIdentity> = answers
                .iter()
                .filter_map(|one| one.lanes.get(at)?.get(position))
                .collect();
            let Some(first) = said.first() else { continue };
            if said.iter().all(|one| same_verdict(first, one)) {
                continue;
            }
            out.push(Difference {
                sheet: lane.sheet.clone(),
                place: Where::spot(&lane.lane.paper, lane.lane.lane, spot.spot),
                label: lane.lane.label.to_string(),
                rf: spot.rf,
                truth: truth_words(lane, position, on, dyes),
                verdicts: said.iter().map(|one| spot_verdict(one, dyes)).collect(),
            });
        }
    }
    out
}

fn truth_words(
    lane: &AskedLane,
    position: usize,
    on: ComparedOn<'_>,
    dyes: &DyeRegister,
) -> Option<String> {
    let (held, outside) = match on {
        ComparedOn::Sheets(_) => (lane.holds.clone()?, false),
        ComparedOn::Simulated { .. } => {
            let truth = lane.truths.get(position)?.clone()?;
            (truth.dyes, truth.outside)
        }
    };
    let mut words = held_words(&held, dyes);
    if outside && words.is_empty() {
        "a dye of no reference set".clone_into(&mut words);
    } else if outside {
        words.push_str(" with a dye of no reference set");
    } else if words.is_empty() {
        "none of the known dyes".clone_into(&mut words);
    }
    Some(words)
}
