//! A clean sheet stays quiet: sheets drawn from the method's own spread, with nothing wrong on
//! them, get a `warn` or `stop` in at most 2 % of cases.

#![expect(
    clippy::unwrap_used,
    reason = "a test; clippy sees that only in `#[test]` functions"
)]

use dyebook_checks::{Context, evaluate, run_checks};
use dyebook_documents::{
    DyeRegister, Lane, LengthUnit, Method, MethodState, Role, Row, Severity, Sheet, Units,
};
use jiff::civil::date;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use std::collections::BTreeMap;

/// Dye, assigned Rf, colour word: invented, two pairs 0.05 apart.
const DYES: [(&str, &str, f64, &str); 7] = [
    ("brilliant-blue-fcf", "Blue 1", 0.93, "blue"),
    ("indigo-carmine", "Blue 2", 0.15, "blue"),
    ("erythrosine", "Red 3", 0.10, "pink"),
    ("allura-red-ac", "Red 40", 0.40, "red"),
    ("tartrazine", "Yellow 5", 0.62, "yellow"),
    ("sunset-yellow-fcf", "Yellow 6", 0.50, "orange"),
    ("fast-green-fcf", "Green 3", 0.88, "green"),
];
const WITHIN: f64 = 0.010;
const PAPERS: f64 = 0.010;
const SESSIONS: f64 = 0.015;
const READING_CM: f64 = 0.05;

fn method() -> Method {
    let total = f64::sqrt(WITHIN * WITHIN + PAPERS * PAPERS + SESSIONS * SESSIONS);
    let references: Vec<_> = DYES
        .iter()
        .map(|(dye, _, rf, colour)| {
            serde_json::json!({
                "dye": dye, "assigned_rf": rf, "colours": [colour],
                "expected_rf": {"low": rf - 1.96 * total, "high": rf + 1.96 * total},
                "sd": {"within_paper": WITHIN, "between_papers": PAPERS, "between_sessions": SESSIONS}
            })
        })
        .collect();
    serde_json::from_value(serde_json::json!({
        "id": "clean", "version": "1.0.0", "title": "invented",
        "stationary_phase": {"material": "paper"},
        "developer": {"components": [{"substance": "water", "make_up_to_volume": true}]},
        "layout": {"baseline_cm": 1.5, "lanes": 8, "paper_height_cm": 13},
        "measuring": {"convention": "centre", "distance_sd_cm": READING_CM, "front_sd_cm": READING_CM},
        "acceptance": {"front_tilt": 0.05, "front_min_cm": 5},
        "references": references
    }))
    .unwrap()
}

/// How the deviations of the dyes of one paper hang together.
#[derive(Debug, Clone, Copy)]
enum Effects {
    /// One deviation of the session and one of the paper for all dyes.
    Shared,
    /// The same, and each paper stretches: half as much again from end to end.
    SharedAndStretched,
    /// Each dye deviates for itself.
    OwnOfEachDye,
}

struct Class {
    random: ChaCha8Rng,
    effects: Effects,
}

impl Class {
    fn normal(&mut self, sd: f64) -> f64 {
        let z: f64 = StandardNormal.sample(&mut self.random);
        z * sd
    }

    fn effect(&mut self, sd: f64) -> [f64; 7] {
        match self.effects {
            Effects::Shared => [self.normal(sd); 7],
            Effects::SharedAndStretched => {
                let (shift, slope) = (self.normal(sd), self.normal(sd / 2.0));
                DYES.map(|(_, _, rf, _)| shift + slope * (2.0 * rf - 1.0))
            }
            Effects::OwnOfEachDye => std::array::from_fn(|_| self.normal(sd)),
        }
    }

    fn sheet(&mut self) -> Sheet {
        let session = self.effect(SESSIONS);
        let mut lanes = vec![];
        for paper in ["1", "2"] {
            let of_paper = self.effect(PAPERS);
            let front = self.random.random_range(7.0..9.0);
            let tilt = self.normal(0.015);
            for lane in 1..=7_u32 {
                let dye = usize::try_from(lane).unwrap() - 1;
                let is_sample = paper == "2" && ![0, 4].contains(&dye);
                let dyes = if is_sample && self.random.random_bool(0.5) {
                    vec![dye, (dye + 3) % 7]
                } else {
                    vec![dye]
                };
                let here = front + tilt * f64::from(lane);
                let read_front = self.read(here);
                let rows = dyes
                    .iter()
                    .map(|&dye| {
                        let rf = DYES[dye].2 + session[dye] + of_paper[dye] + self.normal(WITHIN);
                        // No spot runs ahead of its front.
                        let distance = self.read(rf.clamp(0.0, 0.995) * here);
                        Row {
                            distance: Some(distance.parse().unwrap()),
                            front: Some(read_front.parse().unwrap()),
                            colour: Some(DYES[dye].3.into()),
                            ..Row::default()
                        }
                    })
                    .collect();
                let label = if is_sample {
                    format!("Q{lane}")
                } else {
                    DYES[dye].1.to_owned()
                };
                let role = is_sample.then_some(Role::Sample);
                lanes.push(Lane {
                    paper: paper.into(),
                    lane,
                    label: label.into(),
                    role,
                    rows,
                });
            }
        }
        let unit = LengthUnit::Centimetre;
        Sheet {
            section: Some("Mon".into()),
            group: "1".into(),
            date: Some(date(2026, 3, 9)),
            method: "clean@1.0.0".into(),
            batch: None,
            units: Units {
                distance: unit,
                front: unit,
                width: None,
            },
            lanes,
            remarks: vec![],
        }
    }

    /// A length as read from a ruler with mm, a tenth of one estimated.
    fn read(&mut self, length: f64) -> String {
        format!("{:.2}", (length + self.normal(READING_CM)).max(0.0))
    }
}

fn assert_quiet(effects: Effects, sheets: u32) {
    let method = method();
    let dyes = include_str!("../../../references/dyes.json");
    let dyes = DyeRegister::new(serde_json::from_str::<Vec<_>>(dyes).unwrap());
    let mut class = Class {
        random: ChaCha8Rng::seed_from_u64(20_260_309),
        effects,
    };
    let mut alarms = 0;
    let mut by_check: BTreeMap<String, u32> = BTreeMap::new();
    for _ in 0..sheets {
        let sheet = class.sheet();
        let found = run_checks(&Context {
            sheet: &sheet,
            evaluated: &evaluate(&sheet, &method, &dyes),
            method: &method,
            method_state: MethodState::Approved,
            dyes: &dyes,
            own_papers: &[],
            known_papers: &[],
            group_sheets: &[],
            today: date(2026, 3, 9),
        });
        let loud = found
            .iter()
            .filter(|check| check.severity >= Severity::Warn);
        alarms += u32::from(loud.clone().next().is_some());
        for check in found.iter().filter(|check| check.severity >= Severity::Ask) {
            *by_check
                .entry(format!("{} {}", check.severity.word(), check.check))
                .or_default() += 1;
        }
    }
    assert!(
        f64::from(alarms) <= 0.02 * f64::from(sheets),
        "{alarms} of {sheets}: {by_check:?}"
    );
}

#[test]
fn clean_sheets_whose_dyes_deviate_together_stay_quiet() {
    assert_quiet(Effects::Shared, 4000);
}

#[test]
fn clean_sheets_whose_papers_stretch_stay_quiet() {
    assert_quiet(Effects::SharedAndStretched, 1000);
}

#[test]
fn clean_sheets_whose_dyes_deviate_each_for_itself_stay_quiet() {
    assert_quiet(Effects::OwnOfEachDye, 1000);
}
