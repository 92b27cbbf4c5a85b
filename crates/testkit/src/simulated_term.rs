//! Groups of a simulated term: what was really in each lane, and what a group would have written
//! down. Made without looking at how any strategy reasons: papers and sessions are drawn first, the
//! liquid runs, neighbours merge, somebody reads a ruler and names a colour.

use rand::RngExt as _;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

/// A dye of the simulated method.
#[derive(Clone, Debug)]
pub struct SimulatedDye {
    /// Its id.
    pub id: String,
    /// Where it runs on average.
    pub rf: f64,
    /// The word most readers use for it.
    pub colour: &'static str,
    /// An expected minor spot: where, and its colour.
    pub minor: Option<(f64, &'static str)>,
}

/// How a term runs.
#[derive(Clone, Debug)]
pub struct TermPlan {
    /// The dyes of the reference set.
    pub dyes: Vec<SimulatedDye>,
    /// SD of Rf between spots on one paper, the reading of the ruler included.
    pub within_paper: f64,
    /// SD between papers of a session.
    pub between_papers: f64,
    /// SD between sessions.
    pub between_sessions: f64,
    /// Lanes of known dye on the samples paper.
    pub bridging_lanes: usize,
    /// Sample lanes on the samples paper.
    pub sample_lanes: usize,
    /// Dyes in a sample lane, at most.
    pub most_dyes: usize,
    /// Probability that a dye of a sample lane is in no reference set.
    pub strangers: f64,
    /// Share of readers who write the usual word for a hue, and of those who write one beside it.
    pub words: (f64, f64),
    /// Whether faint spots, minor spots, merging and missing colour words happen.
    pub mishaps: bool,
}

/// Words a reader may write, each with the hues next to it.
const HUES: [(&str, &[&str]); 8] = [
    ("yellow", &["orange", "green"]),
    ("orange", &["yellow", "red"]),
    ("red", &["orange", "pink"]),
    ("pink", &["red", "purple"]),
    ("purple", &["pink", "blue"]),
    ("blue", &["purple", "green"]),
    ("green", &["blue", "yellow"]),
    ("brown", &["orange", "black"]),
];

/// Share of readers who write the usual word for a hue, and of those who write one beside it (no
/// source counts them; argued). About one in ten men sees hues deficiently, so 5 % of a mixed class;
/// half of them tick "cannot judge colour" and write none, the others guess right half the time:
/// 1 %. Of all others 3 % call a hue at the border (orange, pink) by its neighbour. And 1 % of
/// entries are slips that end at any word: manual entry goes wrong in 0.55 to 3.6 % of cases.
const READERS: (f64, f64) = (0.95, 0.04);

/// Share of spots without a word: those ticks, and words forgotten.
const NO_WORD: f64 = 0.03;

/// Two spots nearer than this (in Rf) dry into one: half of the width of a spot of 5 mm on a run of
/// 8 cm (up to a resolution of about 0.5 two spots look like one; common practice, no source).
const ONE_SPOT: f64 = 0.03;

/// Amounts of two dyes differ by up to this factor, evenly on a logarithmic scale.
const AMOUNTS: f64 = 10.0;

/// A dye that makes up less than this of a spot of two doesn't show.
const HIDDEN: f64 = 0.2;

impl TermPlan {
    /// Ten dyes, two of them 0.07 apart in the same colour, with spreads of a careful class.
    pub fn ten_dyes() -> Self {
        let dye = |number: usize, rf, colour| SimulatedDye {
            id: format!("dye-{number:02}"),
            rf,
            colour,
            minor: None,
        };
        let mut dyes = vec![
            dye(1, 0.07, "blue"),
            dye(2, 0.16, "pink"),
            dye(3, 0.26, "red"),
            dye(4, 0.33, "red"),
            dye(5, 0.42, "orange"),
            dye(6, 0.51, "yellow"),
            dye(7, 0.60, "purple"),
            dye(8, 0.70, "green"),
            dye(9, 0.79, "yellow"),
            dye(10, 0.90, "blue"),
        ];
        dyes[9].minor = Some((0.85, "blue"));
        dyes[4].minor = Some((0.21, "pink"));
        Self {
            dyes,
            within_paper: 0.01,
            between_papers: 0.01,
            between_sessions: 0.015,
            bridging_lanes: 2,
            sample_lanes: 4,
            most_dyes: 3,
            strangers: 0.05,
            words: READERS,
            mishaps: true,
        }
    }
}

/// What a spot really is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Truth {
    /// Main spots of these dyes of the set, one or (merged) more.
    Dyes(Vec<String>),
    /// The minor spot of a dye of the set.
    Minor(String),
    /// A dye that is in no reference set.
    Stranger,
}

/// A spot as a group wrote it down.
#[derive(Clone, Debug)]
pub struct SimulatedSpot {
    /// What it is.
    pub truth: Truth,
    /// Distance from the start line in cm, as read.
    pub distance_cm: f64,
    /// Front of the lane in cm, as read.
    pub front_cm: f64,
    /// The colour word, if one was written.
    pub colour: Option<&'static str>,
    /// Whether it was noted as faint.
    pub faint: bool,
}

/// A lane.
#[derive(Clone, Debug)]
pub struct SimulatedLane {
    /// Number on its paper, from 1.
    pub number: u32,
    /// The dye, where the group knows it (a standard or bridging lane).
    pub known: Option<String>,
    /// Spots by rising distance.
    pub spots: Vec<SimulatedSpot>,
}

/// One group's two papers.
#[derive(Clone, Debug)]
pub struct SimulatedGroup {
    /// Lanes of known dye.
    pub standards: Vec<SimulatedLane>,
    /// Bridging and sample lanes.
    pub samples: Vec<SimulatedLane>,
}

/// What moves the dyes of one session or one paper.
struct Drift {
    shift: f64,
    stretch: f64,
    own: Vec<f64>,
}

struct Paper {
    of_session: Drift,
    own: Drift,
    front: f64,
    tilt: f64,
}

/// A source of groups.
#[derive(Debug)]
pub struct SimulatedTerm {
    plan: TermPlan,
    random: ChaCha8Rng,
}

impl SimulatedTerm {
    /// A term by this plan; the same seed gives the same term.
    pub fn new(plan: TermPlan, seed: u64) -> Self {
        Self {
            plan,
            random: ChaCha8Rng::seed_from_u64(seed),
        }
    }

    /// The next group: every dye of the set on standards papers, samples on another.
    pub fn group(&mut self) -> SimulatedGroup {
        let spreads = (self.plan.between_sessions, self.plan.between_papers);
        let session = self.drift(spreads.0);
        let paper = |term: &mut Self| Paper {
            of_session: Drift {
                own: session.own.clone(),
                ..session
            },
            own: term.drift(spreads.1),
            front: 7.0 + 2.0 * term.share(),
            tilt: 0.1 * term.normal(),
        };
        let (first, second) = (paper(self), paper(self));
        let dyes: Vec<usize> = (0..self.plan.dyes.len()).collect();
        let standards = dyes
            .iter()
            .zip(1..)
            .map(|(dye, number)| self.known_lane(&first, number, *dye))
            .collect();
        let mut samples = Vec::new();
        let mut number = 0;
        for bridge in 0..self.plan.bridging_lanes {
            number += 1;
            // spread over the paper: low, high, middle
            let places = [2, dyes.len() - 3, dyes.len() / 2];
            samples.push(self.known_lane(&second, number, places[bridge % 3]));
        }
        for _ in 0..self.plan.sample_lanes {
            number += 1;
            samples.push(self.sample_lane(&second, number));
        }
        SimulatedGroup { standards, samples }
    }

    fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.random)
    }

    fn share(&mut self) -> f64 {
        self.random.random::<f64>()
    }

    fn chance(&mut self, probability: f64) -> bool {
        self.share() < probability
    }

    fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.random.random_range(0..from.len())]
    }

    /// Most of a spread moves all dyes alike, some stretches the scale, some is each dye's own.
    fn drift(&mut self, sd: f64) -> Drift {
        let shift = sd * 0.75_f64.sqrt() * self.normal();
        let stretch = sd * 0.12_f64.sqrt() * self.normal() / 0.27;
        let own = sd * 0.13_f64.sqrt();
        Drift {
            shift,
            stretch,
            own: (0..self.plan.dyes.len())
                .map(|_| own * self.normal())
                .collect(),
        }
    }

    /// Where a dye that runs at `rf` on average really stops on a paper.
    fn runs(&mut self, paper: &Paper, rf: f64, dye: Option<usize>) -> f64 {
        let moved = |drift: &Drift| {
            let own = dye.map_or(0.0, |dye| drift.own[dye]);
            drift.shift + drift.stretch * (rf - 0.47) + own
        };
        // reading a ruler adds about 0.0045, so that both together are the SD on one paper
        let on_paper = (self.plan.within_paper.powi(2) - 0.0045_f64.powi(2))
            .max(0.0)
            .sqrt();
        rf + moved(&paper.of_session) + moved(&paper.own) + on_paper * self.normal()
    }

    fn known_lane(&mut self, paper: &Paper, number: u32, dye: usize) -> SimulatedLane {
        let mut marks = Vec::new();
        self.apply(paper, dye, &mut marks);
        let known = Some(self.plan.dyes[dye].id.clone());
        SimulatedLane {
            number,
            known,
            spots: self.write_down(paper, number, marks),
        }
    }

    fn sample_lane(&mut self, paper: &Paper, number: u32) -> SimulatedLane {
        let wanted = self.random.random_range(1..=self.plan.most_dyes);
        let mut left: Vec<usize> = (0..self.plan.dyes.len()).collect();
        let mut marks = Vec::new();
        for _ in 0..wanted {
            if self.chance(self.plan.strangers) {
                let rf = 0.03 + 0.94 * self.share();
                let at = self.runs(paper, rf, None);
                let colour = self.pick(&HUES).0;
                marks.push((at, Truth::Stranger, colour, false));
            } else {
                let dye = left.remove(self.random.random_range(0..left.len()));
                self.apply(paper, dye, &mut marks);
            }
        }
        if self.plan.mishaps {
            marks = self.merge(marks);
        }
        SimulatedLane {
            number,
            known: None,
            spots: self.write_down(paper, number, marks),
        }
    }

    /// Puts a dye's spots on a lane: where, what, hue, faint.
    fn apply(
        &mut self,
        paper: &Paper,
        dye: usize,
        marks: &mut Vec<(f64, Truth, &'static str, bool)>,
    ) {
        let SimulatedDye {
            id,
            rf,
            colour,
            minor,
        } = self.plan.dyes[dye].clone();
        let faint = self.plan.mishaps && self.chance(NO_WORD);
        let mut at = self.runs(paper, rf, Some(dye));
        if faint {
            at += self.plan.within_paper * self.normal();
        }
        marks.push((at, Truth::Dyes(vec![id.clone()]), colour, faint));
        if let Some((rf, colour)) = minor.filter(|_| self.plan.mishaps)
            && self.chance(0.3)
        {
            let at = self.runs(paper, rf, Some(dye));
            marks.push((at, Truth::Minor(id), colour, false));
        }
    }

    /// Neighbours that touch dry into one spot, nearer to the stronger of the two.
    fn merge(
        &mut self,
        mut marks: Vec<(f64, Truth, &'static str, bool)>,
    ) -> Vec<(f64, Truth, &'static str, bool)> {
        marks.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut merged: Vec<(f64, Truth, &'static str, bool)> = Vec::new();
        for mark in marks {
            match merged.last_mut() {
                // a stranger stays a spot of its own, so that it is clear what naming it means
                Some(last)
                    if mark.0 - last.0 < ONE_SPOT
                        && mark.1 != Truth::Stranger
                        && last.1 != Truth::Stranger =>
                {
                    let ratio = AMOUNTS.powf(self.share() - self.share());
                    let weight = ratio / (1.0 + ratio);
                    last.2 = if weight < HIDDEN {
                        last.2
                    } else if weight > 1.0 - HIDDEN {
                        mark.2
                    } else {
                        both(last.2, mark.2).unwrap_or(if weight > 0.5 { mark.2 } else { last.2 })
                    };
                    last.0 += weight * (mark.0 - last.0);
                    last.3 = last.3 && mark.3;
                    last.1 = together(&last.1, &mark.1);
                }
                _ => merged.push(mark),
            }
        }
        merged
    }

    /// Reads ruler and colours.
    fn write_down(
        &mut self,
        paper: &Paper,
        number: u32,
        marks: Vec<(f64, Truth, &'static str, bool)>,
    ) -> Vec<SimulatedSpot> {
        let front = paper.front + paper.tilt * (f64::from(number) - 3.5) / 5.0;
        let read = |term: &mut Self, cm: f64| ((cm + 0.03 * term.normal()) * 100.0).round() / 100.0;
        let front_cm = read(self, front);
        let mut spots: Vec<SimulatedSpot> = marks
            .into_iter()
            .map(|(rf, truth, hue, faint)| SimulatedSpot {
                truth,
                distance_cm: read(self, (rf * front).max(0.0)),
                front_cm,
                colour: self.name(hue, faint),
                faint,
            })
            .collect();
        spots.sort_by(|a, b| a.distance_cm.total_cmp(&b.distance_cm));
        spots
    }

    /// The word somebody writes for a hue: mostly its own, sometimes one beside it, seldom any.
    fn name(&mut self, hue: &'static str, faint: bool) -> Option<&'static str> {
        if self.plan.mishaps && self.chance(NO_WORD) {
            return None;
        }
        let luck = self.share();
        let (own, beside_it) = self.plan.words;
        let (own, near) = if faint {
            (0.6, 0.9)
        } else {
            (own, own + beside_it)
        };
        let beside = HUES
            .iter()
            .find(|known| known.0 == hue)
            .map_or(&[][..], |known| known.1);
        Some(if luck < own || beside.is_empty() {
            hue
        } else if luck < near {
            self.pick(beside)
        } else {
            self.pick(&HUES).0
        })
    }
}

/// What two spots in one are.
fn together(a: &Truth, b: &Truth) -> Truth {
    match (a, b) {
        (Truth::Dyes(a), Truth::Dyes(b)) => {
            let mut dyes = a.clone();
            dyes.extend(b.iter().cloned());
            dyes.sort();
            Truth::Dyes(dyes)
        }
        // a pale minor spot under a main spot leaves the main spot what it is
        (Truth::Minor(_), Truth::Dyes(_)) => b.clone(),
        (Truth::Dyes(_) | Truth::Minor(_), Truth::Minor(_)) => a.clone(),
        (Truth::Stranger, _) | (_, Truth::Stranger) => Truth::Stranger,
    }
}

/// The hue of two paints over each other; `None` for hues next to each other, which look like the
/// stronger. (Mixing of paints; common practice, no source.)
fn both(a: &str, b: &str) -> Option<&'static str> {
    let beside = |a: &str, b: &str| HUES.iter().any(|hue| hue.0 == a && hue.1.contains(&b));
    if a == b || beside(a, b) || beside(b, a) {
        return None;
    }
    let mixes = [
        ("yellow", "blue", "green"),
        ("yellow", "red", "orange"),
        ("yellow", "pink", "orange"),
        ("red", "blue", "purple"),
        ("pink", "blue", "purple"),
    ];
    let found = mixes
        .iter()
        .find(|(x, y, _)| (*x, *y) == (a, b) || (*y, *x) == (a, b));
    Some(found.map_or("brown", |(_, _, hue)| hue))
}
