//! Simulated groups as the questions a host would ask.

// The generator alone: the whole test kit would build the whole program for a strategy's test.
#[path = "../../../../crates/testkit/src/simulated_term.rs"]
#[expect(unreachable_pub, reason = "it is a public module of the test kit")]
pub(crate) mod simulated_term;
pub(crate) mod tally;
#[path = "../words/mod.rs"]
mod words;

use dyebook_plugin::Context;
use dyebook_plugin::strategy::{
    Answer, Count, KnownLane, Lane, MinorSpot, Question, Reference, ReferenceSet, Sheet, Spot,
    Spread, Strategy,
};
use dyebook_statistics::planar::{retardation_factor, retardation_factor_uncertainty};
use dyebook_strategy_posterior::{Config, Posterior};
use simulated_term::{SimulatedGroup, SimulatedLane, SimulatedSpot, SimulatedTerm, TermPlan};
use tally::Tally;

/// The reference set of a lab that has run the method for years: its spreads and values are known.
pub(crate) fn reference_set(plan: &TermPlan) -> ReferenceSet {
    let mut set = ReferenceSet::default();
    for dye in &plan.dyes {
        let total = plan
            .within_paper
            .hypot(plan.between_papers)
            .hypot(plan.between_sessions);
        let mut reference = Reference::new(&dye.id, dye.rf - 2.3 * total, dye.rf + 2.3 * total);
        reference.assigned_rf = Some(dye.rf);
        let mut sd = Spread::default();
        sd.within_paper = Some(plan.within_paper);
        sd.between_papers = Some(plan.between_papers);
        sd.between_sessions = Some(plan.between_sessions);
        reference.sd = Some(sd);
        let mut count = Count::default();
        (count.sessions, count.papers, count.spots) = (Some(40), Some(80), Some(160));
        reference.count = Some(count);
        reference.colours = vec![dye.colour.into()];
        if let Some((rf, colour)) = dye.minor {
            let mut minor = MinorSpot::default();
            (minor.rf, minor.colour) = (rf, Some(colour.into()));
            reference.minor_spots.push(minor);
        }
        set.references.push(reference);
    }
    set.colour_words = words::colour_words();
    set
}

/// A spot as it is told to a strategy.
pub(crate) fn spot(number: u32, simulated: &SimulatedSpot) -> Spot {
    let (d, front) = (simulated.distance_cm, simulated.front_cm);
    let rf = retardation_factor(d, front).unwrap();
    let u = retardation_factor_uncertainty(d, front, 0.05, 0.05).unwrap();
    let mut spot = Spot::new(number, rf, u);
    spot.colour = simulated.colour.map(Into::into);
    spot.depth = simulated.faint.then(|| "faint".into());
    spot
}

fn spots(lane: &SimulatedLane) -> Vec<Spot> {
    (1..)
        .zip(&lane.spots)
        .map(|(number, simulated)| spot(number, simulated))
        .collect()
}

/// What is known of a group's papers.
pub(crate) fn sheet(group: &SimulatedGroup) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.sheet = "group".into();
    sheet.session = "session".into();
    for (paper, role, lanes) in [
        ("1", "standard", &group.standards),
        ("2", "bridging", &group.samples),
    ] {
        for lane in lanes {
            let Some(dye) = &lane.known else { continue };
            let mut known = KnownLane::default();
            known.paper = paper.into();
            known.lane = lane.number;
            known.role = role.into();
            known.dyes = vec![dye.clone()];
            known.spots = spots(lane);
            sheet.known.push(known);
        }
    }
    sheet
}

/// The question of one sample lane.
pub(crate) fn lane(simulated: &SimulatedLane) -> Lane {
    let mut lane = Lane::default();
    lane.id = format!("lane-{}", simulated.number).into();
    lane.sheet = "group".into();
    lane.session = "session".into();
    lane.paper = "2".into();
    lane.lane = simulated.number;
    lane.role = "sample".into();
    lane.spots = spots(simulated);
    lane
}

/// The strategy's answer for a lane.
pub(crate) fn answer<S: Strategy>(strategy: &S, lane: &Lane, sheet: &Sheet) -> Answer {
    let context = Context::without_host();
    strategy
        .match_lane(&Question::new(lane, sheet, &context))
        .unwrap()
}

/// A term as it goes: faint spots, colours not noted, minor spots, neighbours in one spot, 2 % of
/// dyes from nowhere.
pub(crate) fn usual() -> TermPlan {
    TermPlan {
        strangers: 0.02,
        ..TermPlan::ten_dyes()
    }
}

/// One dye a lane that is in no reference set, anywhere on the paper, of any hue.
pub(crate) fn strangers_only() -> TermPlan {
    TermPlan {
        strangers: 1.0,
        most_dyes: 1,
        mishaps: false,
        ..TermPlan::ten_dyes()
    }
}

/// Groups of a term, asked and counted.
pub(crate) fn run(config: &Config, plan: &TermPlan, seed: u64, groups: usize) -> Tally {
    let strategy = Posterior::prepare(config, reference_set(plan)).unwrap();
    let mut term = SimulatedTerm::new(plan.clone(), seed);
    let mut tally = Tally::default();
    for _ in 0..groups {
        tally.add_group(&strategy, &term.group());
    }
    tally
}
