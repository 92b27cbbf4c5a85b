//! The weak point of standards on one paper and unknowns on another, and what two bridging lanes
//! buy: risk of taking one of two like-coloured dyes 0.05 apart for the other.
//!
//! Worked apart for spreads 0.01 on a paper, 0.02 between papers, 0.02 between sessions, shifts
//! common to all dyes: about 20 % against the reference alone (SD 0.030), 21 % against one's own
//! standard on the other paper (0.0316), 2 % with the offset of two bridging spots (0.0122).
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

mod words;

use dyebook_plugin::Context;
use dyebook_plugin::strategy::{
    Count, KnownLane, Lane, Question, Reference, ReferenceSet, Sheet, Spot, Spread, Strategy,
};
use dyebook_strategy_posterior::{Config, Posterior};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

const PAPERS: u32 = 20_000;
/// Low and high bridging dyes, and the pair.
const RF: [f64; 4] = [0.20, 0.80, 0.45, 0.50];

fn set() -> ReferenceSet {
    let mut set = ReferenceSet::default();
    set.colour_words = words::colour_words();
    for (number, rf) in RF.iter().enumerate() {
        let mut reference = Reference::new(&format!("dye-{number}"), rf - 0.06, rf + 0.06);
        reference.assigned_rf = Some(*rf);
        let (mut sd, mut count) = (Spread::default(), Count::default());
        (sd.within_paper, sd.between_papers, sd.between_sessions) =
            (Some(0.01), Some(0.02), Some(0.02));
        // a reference as good as known
        (count.sessions, count.papers, count.spots) = (Some(1000), Some(2000), Some(4000));
        (reference.sd, reference.count) = (Some(sd), Some(count));
        reference.colours = vec!["red".into()];
        set.references.push(reference);
    }
    set
}

fn spot(rf: f64) -> Spot {
    let mut spot = Spot::new(1, rf, 0.005);
    spot.colour = Some("red".into());
    spot
}

fn known(paper: &str, lane: u32, dye: usize, rf: f64) -> KnownLane {
    let mut known = KnownLane::default();
    (known.paper, known.lane, known.role) = (paper.into(), lane, "bridging".into());
    (known.dyes, known.spots) = (vec![format!("dye-{dye}")], vec![spot(rf)]);
    known
}

/// Share of papers on which the less probable of the two dyes is the true one.
fn risk(bridging: bool, standards: bool, seed: u64) -> f64 {
    // shifts move all dyes alike in this comparison
    let config = Config {
        own_share: 0.0,
        slope_share: 0.0,
        merge_distance: 0.0,
        ..Config::default()
    };
    let strategy = Posterior::prepare(&config, set()).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut normal = |sd: f64| -> f64 {
        let z: f64 = StandardNormal.sample(&mut random);
        sd * z
    };
    let mut wrong = 0;
    for paper in 0..PAPERS {
        let session = normal(0.02);
        let (first, second) = (session + normal(0.02), session + normal(0.02));
        let truth = 2 + (paper % 2) as usize;
        let (mut lane, mut sheet) = (Lane::default(), Sheet::default());
        (lane.paper, lane.lane) = ("2".into(), 3);
        lane.spots = vec![spot(RF[truth] + second + normal(0.01))];
        for (number, dye) in (1..).zip(0..RF.len()) {
            let (on_first, on_second) = (first + normal(0.01), second + normal(0.01));
            if standards {
                sheet
                    .known
                    .push(known("1", number, dye, RF[dye] + on_first));
            }
            if bridging && dye < 2 {
                sheet
                    .known
                    .push(known("2", number, dye, RF[dye] + on_second));
            }
        }
        let context = Context::without_host();
        let answer = strategy
            .match_lane(&Question::new(&lane, &sheet, &context))
            .unwrap();
        let probability = |dye: usize| {
            let of = answer.spots[0]
                .candidates
                .iter()
                .find(|c| c.dyes == [format!("dye-{dye}")]);
            of.map_or(0.0, |candidate| candidate.probability.unwrap())
        };
        wrong += u32::from(probability(truth) < probability(5 - truth));
    }
    f64::from(wrong) / f64::from(PAPERS)
}

#[test]
fn two_bridging_lanes_bring_the_risk_from_a_fifth_to_a_fiftieth() {
    let reference_alone = risk(false, false, 1);
    let own_standards = risk(false, true, 2);
    let bridged = risk(true, false, 3);
    let both = risk(true, true, 4);
    println!("{reference_alone:.4} {own_standards:.4} {bridged:.4} {both:.4}");
    assert!((reference_alone - 0.202).abs() < 0.01, "{reference_alone}");
    // better than "unknown less own standard", because the reference is not forgotten
    assert!((0.15..0.202).contains(&own_standards), "{own_standards}");
    assert!((bridged - 0.02).abs() < 0.006, "{bridged}");
    assert!(both <= bridged + 0.003, "{both}");
}
