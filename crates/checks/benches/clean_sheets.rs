//! Time that a sheet takes on which hardly anything is wrong, as most are: from distances to lanes
//! with Rf, and all entry checks. A call goes through all sheets; the names say how many spots.
//!
//! Instructions instead of time, which a busy machine does not disturb (`run_checks` goes through the
//! sheets once then, `evaluate` twice):
//!
//! ```text
//! valgrind --tool=callgrind --toggle-collect='dyebook_checks::run_checks::run_checks*' \
//!     --callgrind-out-file=/dev/null target/release/deps/clean_sheets-<hash> --test
//! ```
#![expect(clippy::unwrap_used, reason = "a bench may stop at once")]
#![allow(missing_docs, reason = "criterion makes the functions")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use dyebook_checks::{Context, KnownPaper, evaluate, run_checks};
use dyebook_documents::{
    Dye, DyeRegister, Lane, LengthUnit, Method, MethodState, Role, Row, Sheet, Units,
};
use jiff::civil::date;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

/// Sheets of one session.
const GROUPS: u32 = 16;
const METHOD: &str = include_str!("../../../references/methods/harrow-saline-1.1.0.json");
const DYES: &str = include_str!("../../../references/dyes.json");
/// Dyes on the standards paper of a group, and further ones in its samples: label, Rf, colour.
const STANDARDS: [(&str, f64, &str); 6] = [
    ("Blue 2", 0.105, "blue"),
    ("Red 3", 0.18, "pink"),
    ("Red 40", 0.405, "red"),
    ("Yellow 6", 0.49, "orange"),
    ("Yellow 5", 0.60, "yellow"),
    ("Blue 1", 0.92, "blue"),
];

struct Class(ChaCha8Rng);

impl Class {
    fn normal(&mut self, sd: f64) -> f64 {
        let z: f64 = StandardNormal.sample(&mut self.0);
        z * sd
    }

    /// Six standards on one paper, six samples of one to three dyes on another.
    fn sheet(&mut self, group: u32) -> Sheet {
        let mut lanes = vec![];
        for paper in 1..=2 {
            let (shift, front) = (self.normal(0.018), 8.0 + self.normal(0.15));
            for lane in 1..=6 {
                let dyes = if paper == 1 {
                    vec![STANDARDS[lane - 1]]
                } else {
                    let first = self.0.random_range(0..4);
                    STANDARDS[first..=first + self.0.random_range(0..3)].to_vec()
                };
                let front = front + self.normal(0.03);
                let rows = (1..).zip(&dyes).map(|(spot, (_, rf, colour))| {
                    let distance = front * (rf + shift + self.normal(0.01));
                    Row {
                        spot: Some(spot),
                        distance: Some(format!("{:.2}", distance.max(0.05)).parse().unwrap()),
                        front: Some(format!("{front:.2}").parse().unwrap()),
                        colour: Some((*colour).into()),
                        ..Row::default()
                    }
                });
                let rows = rows.collect();
                let (label, role) = match paper {
                    1 => (dyes[0].0.to_owned(), Role::Standard),
                    _ => (format!("sample {lane}"), Role::Sample),
                };
                lanes.push(Lane {
                    paper: format!("g{group}-{paper}").into(),
                    lane: u32::try_from(lane).unwrap(),
                    label: label.into(),
                    role: Some(role),
                    rows,
                });
            }
        }
        Sheet {
            section: Some("Mon".into()),
            group: group.to_string(),
            date: Some(date(2026, 10, 12)),
            method: "harrow-saline@1.1.0".into(),
            batch: Some("B1".into()),
            units: Units {
                distance: LengthUnit::Centimetre,
                front: LengthUnit::Centimetre,
                width: None,
            },
            lanes,
            remarks: vec![],
        }
    }
}

fn clean_sheets(criterion: &mut Criterion) {
    let method: Method = serde_json::from_str(METHOD).unwrap();
    let dyes = DyeRegister::new(serde_json::from_str::<Vec<Dye>>(DYES).unwrap());
    let mut class = Class(ChaCha8Rng::seed_from_u64(1));
    let sheets: Vec<Sheet> = (1..=GROUPS).map(|group| class.sheet(group)).collect();
    let spots: usize = sheets.iter().map(Sheet::spot_count).sum();
    let evaluated: Vec<_> = sheets
        .iter()
        .map(|sheet| evaluate(sheet, &method, &dyes))
        .collect();
    let papers: Vec<KnownPaper> = sheets
        .iter()
        .flat_map(|sheet| KnownPaper::of_sheet(&sheet.group, sheet))
        .collect();
    criterion.bench_function(&format!("{spots} spots, evaluate"), |bencher| {
        bencher.iter(|| {
            for sheet in &sheets {
                black_box(evaluate(black_box(sheet), &method, &dyes));
            }
        });
    });
    let contexts: Vec<(_, (Vec<&KnownPaper>, Vec<&KnownPaper>))> = sheets
        .iter()
        .zip(&evaluated)
        .map(|(sheet, evaluated)| {
            let papers = papers.iter().partition(|paper| paper.group == sheet.group);
            ((sheet, evaluated), papers)
        })
        .collect();
    criterion.bench_function(&format!("{spots} spots, run_checks"), |bencher| {
        bencher.iter(|| {
            for ((sheet, evaluated), (own_papers, known_papers)) in &contexts {
                black_box(run_checks(black_box(&Context {
                    sheet,
                    evaluated,
                    method: &method,
                    method_state: MethodState::Approved,
                    dyes: &dyes,
                    own_papers,
                    known_papers,
                    group_sheets: &[],
                    today: date(2026, 10, 13),
                })));
            }
        });
    });
}

criterion_group!(benches, clean_sheets);
criterion_main!(benches);
