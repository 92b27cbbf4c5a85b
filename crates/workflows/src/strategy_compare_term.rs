//! The generator behind simulated groups: sessions and papers are drawn first, dyes run, neighbours
//! dry into one, somebody reads a ruler and names a colour.

use crate::strategy_compare_cases::SpotTruth;
use dyebook_documents::{
    DyeRegister, Lane, LengthUnit, Method, Reference, Role, Row, Sheet, Units, colour_word,
};
use dyebook_statistics::planar::retardation_factor_uncertainty;
use rand::{RngExt as _, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

/// Sample lanes of a group.
pub(crate) const SAMPLES: u32 = 4;
/// Bridging lanes on the samples paper.
pub(crate) const BRIDGING: usize = 2;
/// Dyes in a sample, at most.
pub(crate) const MOST_DYES: usize = 3;
/// Probability that a dye of a sample stands in no reference set.
pub(crate) const STRANGERS: f64 = 0.05;
/// Probability that an expected minor spot is seen and written down.
pub(crate) const MINOR_SEEN: f64 = 0.3;
/// Spots nearer than this in Rf dry into one, in the colour of the stronger.
pub(crate) const ONE_SPOT: f64 = 0.03;
/// Share of a session's and a paper's variance that moves all dyes alike.
pub(crate) const SHARED: f64 = 0.85;
/// Share of colour words that are the dye's usual one; of the rest most are words beside it.
pub(crate) const USUAL_WORD: f64 = 0.92;
/// Share of colour words that are one beside it.
pub(crate) const WORD_BESIDE: f64 = 0.06;
/// Share of spots without a colour word.
const NO_WORD: f64 = 0.02;
/// Reading of a ruler where the method doesn't say how well it is read, in cm.
const USUAL_READING_CM: f64 = 0.05;
/// A range of expected values is read as covering 95 %.
const HALF_WIDTH_IN_SD: f64 = 1.96;

/// A group's sheet with what is true of each spot, lane by lane.
pub(crate) struct Made {
    pub(crate) sheet: Sheet,
    pub(crate) truths: Vec<Vec<SpotTruth>>,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Sd {
    pub(crate) within: f64,
    pub(crate) papers: f64,
    pub(crate) sessions: f64,
}

/// By how much a session or a paper moves each dye, and a dye of no reference set.
pub(crate) struct Drift {
    of_dye: Vec<f64>,
    of_stranger: f64,
}

/// A spot before anybody measures it.
struct Mark {
    rf: f64,
    colour: Option<String>,
    strength: f64,
    truth: SpotTruth,
}

pub(crate) struct Term<'a> {
    method: &'a Method,
    dyes: &'a DyeRegister,
    sd: Vec<Sd>,
    random: ChaCha8Rng,
}

impl<'a> Term<'a> {
    pub(crate) fn new(method: &'a Method, dyes: &'a DyeRegister, seed: u64) -> Self {
        Self {
            method,
            dyes,
            sd: method.references.iter().map(spread).collect(),
            random: ChaCha8Rng::seed_from_u64(seed),
        }
    }

    fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.random)
    }

    fn chance(&mut self, probability: f64) -> bool {
        self.random.random::<f64>() < probability
    }

    fn below(&mut self, number: usize) -> usize {
        self.random.random_range(0..number.max(1))
    }

    pub(crate) fn drift(&mut self, of: impl Fn(&Sd) -> f64) -> Drift {
        let common = SHARED.sqrt() * self.normal();
        let own = (1.0 - SHARED).sqrt();
        let sds: Vec<f64> = self.sd.iter().map(of).collect();
        #[expect(clippy::cast_precision_loss, reason = "a method has few dyes")]
        let mean = sds.iter().sum::<f64>() / sds.len().max(1) as f64;
        let of_dye = sds
            .iter()
            .map(|sd| sd * (common + own * self.normal()))
            .collect();
        let of_stranger = mean * (common + own * self.normal());
        Drift {
            of_dye,
            of_stranger,
        }
    }

    pub(crate) fn group(&mut self, session: &Drift, name: &str) -> Made {
        let mut made = Made {
            sheet: Sheet {
                section: Some("simulated".to_owned()),
                group: name.to_owned(),
                date: None,
                method: self.method.name(),
                batch: None,
                units: Units {
                    distance: LengthUnit::Centimetre,
                    front: LengthUnit::Centimetre,
                    width: None,
                },
                lanes: vec![],
                remarks: vec![],
            },
            truths: vec![],
        };
        let all: Vec<usize> = (0..self.method.references.len()).collect();
        let lanes = self.method.layout.as_ref().and_then(|layout| layout.lanes);
        let lanes = usize::try_from(lanes.unwrap_or(6)).unwrap_or(6).max(1);
        for (number, on_paper) in (1..).zip(all.chunks(lanes)) {
            let standards = on_paper.iter().map(|dye| Content::Known(*dye)).collect();
            self.paper(
                &mut made,
                session,
                &format!("standards-{number}"),
                standards,
            );
        }
        // Low and high on the paper: two places fix where it stands.
        let mut by_rf = all.clone();
        let centre = |dye: &usize| {
            self.method
                .references
                .get(*dye)
                .map_or(0.0, Reference::centre)
        };
        by_rf.sort_by(|a, b| centre(a).total_cmp(&centre(b)));
        let ends = [
            by_rf.get(1).or(by_rf.first()),
            by_rf.get(by_rf.len().saturating_sub(2)),
        ];
        let bridging = ends.into_iter().take(BRIDGING).flatten();
        let mut content: Vec<Content> = bridging.map(|dye| Content::Known(*dye)).collect();
        content.extend((1..=SAMPLES).map(Content::Sample));
        self.paper(&mut made, session, "samples", content);
        made
    }

    fn paper(&mut self, made: &mut Made, session: &Drift, name: &str, content: Vec<Content>) {
        let paper = self.drift(|sd| sd.papers);
        let front = 8.0 + 0.3 * self.normal();
        let tilt = 0.03 * self.normal();
        for (number, content) in (1..).zip(content) {
            let front = front + tilt * (f64::from(number) - 3.5);
            let (label, role, mut marks) = match content {
                Content::Known(dye) => {
                    let label = self.method.references.get(dye).map(|one| one.dye.clone());
                    let mut marks = vec![];
                    self.apply(dye, session, &paper, front, &mut marks);
                    (label.unwrap_or_default(), Role::Standard, marks)
                }
                Content::Sample(sample) => {
                    let marks = self.sample(session, &paper, front);
                    (format!("sample {sample}"), Role::Sample, marks)
                }
            };
            marks = merged(marks);
            let rows = self.read(&marks, front);
            made.sheet.lanes.push(Lane {
                paper: name.into(),
                lane: number,
                label: label.into(),
                role: Some(role),
                rows,
            });
            made.truths
                .push(marks.into_iter().map(|mark| mark.truth).collect());
        }
    }

    fn sample(&mut self, session: &Drift, paper: &Drift, front: f64) -> Vec<Mark> {
        let mut left: Vec<usize> = (0..self.method.references.len()).collect();
        let mut marks = vec![];
        for _ in 0..=self.below(MOST_DYES) {
            if left.is_empty() || self.chance(STRANGERS) {
                let rf = 0.05 + 0.9 * self.random.random::<f64>();
                let moved = session.of_stranger + paper.of_stranger;
                let words = dyebook_documents::COLOUR_WORDS;
                let word = words
                    .get(self.below(words.len()))
                    .map(|one| one.word.to_owned());
                marks.push(Mark {
                    rf: rf + moved,
                    colour: word,
                    strength: self.random.random(),
                    truth: SpotTruth {
                        dyes: vec![],
                        outside: true,
                    },
                });
            } else {
                let dye = left.remove(self.below(left.len()));
                self.apply(dye, session, paper, front, &mut marks);
            }
        }
        marks
    }

    /// A dye's main spot, and its minor spots where they are seen.
    fn apply(
        &mut self,
        dye: usize,
        session: &Drift,
        paper: &Drift,
        front: f64,
        marks: &mut Vec<Mark>,
    ) {
        let (Some(reference), Some(sd)) = (self.method.references.get(dye), self.sd.get(dye))
        else {
            return;
        };
        let (within, truth) = (
            sd.within,
            SpotTruth {
                dyes: vec![reference.dye.clone()],
                outside: false,
            },
        );
        let moved = |drift: &Drift| drift.of_dye.get(dye).copied().unwrap_or_default();
        let shift = moved(session) + moved(paper);
        let colours = reference.colours.clone();
        let colours = colours.or_else(|| Some(self.dyes.by_id(&reference.dye)?.colours.clone()));
        let colours = colours.unwrap_or_default();
        let own = self.not_from_reading(within, reference.centre(), front) * self.normal();
        marks.push(Mark {
            rf: (reference.centre() + shift + own).clamp(0.0, 1.0),
            colour: self.word(&colours),
            strength: 1.0 + self.random.random::<f64>(),
            truth: truth.clone(),
        });
        for minor in reference.minor_spots.iter().flatten() {
            if self.chance(MINOR_SEEN) {
                let own = self.not_from_reading(within, minor.rf, front) * self.normal();
                let words: Vec<String> = minor.colour.iter().cloned().collect();
                marks.push(Mark {
                    rf: (minor.rf + shift + own).clamp(0.0, 1.0),
                    colour: self.word(&words),
                    strength: self.random.random::<f64>() * 0.5,
                    truth: truth.clone(),
                });
            }
        }
    }

    /// The spread on one paper that reading the ruler doesn't account for; the reading comes later.
    fn not_from_reading(&self, within: f64, rf: f64, front: f64) -> f64 {
        let (distance_sd, front_sd) = self.reading();
        let distance = (rf * front).max(0.0);
        let read = retardation_factor_uncertainty(distance, front, distance_sd, front_sd);
        let read = read.unwrap_or_default();
        (within * within - read * read).max(0.0).sqrt()
    }

    fn reading(&self) -> (f64, f64) {
        let measuring = &self.method.measuring;
        let or_usual = |sd: Option<f64>| sd.unwrap_or(USUAL_READING_CM);
        (
            or_usual(measuring.distance_sd_cm),
            or_usual(measuring.front_sd_cm),
        )
    }

    /// What the group writes of a lane: its front read once, each spot read once.
    fn read(&mut self, marks: &[Mark], front: f64) -> Vec<Row> {
        let (distance_sd, front_sd) = self.reading();
        let written = |cm: f64| format!("{cm:.2}").parse().ok();
        let front_read = written(front + front_sd * self.normal());
        let mut rows = vec![];
        for mark in marks {
            let distance = (mark.rf * front + distance_sd * self.normal()).max(0.0);
            rows.push(Row {
                distance: written(distance),
                front: front_read.clone(),
                colour: mark.colour.as_deref().map(Into::into),
                ..Row::default()
            });
        }
        rows
    }

    /// The word somebody writes: the dye's usual one, one beside it, seldom any or none.
    fn word(&mut self, usual: &[String]) -> Option<String> {
        let own = usual.first()?;
        let beside: Vec<String> = usual
            .iter()
            .skip(1)
            .cloned()
            .chain(
                colour_word(own)
                    .into_iter()
                    .flat_map(|one| one.neighbours.iter().map(|word| (*word).to_owned())),
            )
            .collect();
        if self.chance(NO_WORD) {
            return None;
        }
        let luck: f64 = self.random.random();
        if luck < USUAL_WORD || beside.is_empty() {
            Some(own.clone())
        } else if luck < USUAL_WORD + WORD_BESIDE {
            beside.get(self.below(beside.len())).cloned()
        } else {
            let words = dyebook_documents::COLOUR_WORDS;
            words
                .get(self.below(words.len()))
                .map(|one| one.word.to_owned())
        }
    }
}

#[derive(Debug, Clone, Copy)]
enum Content {
    Known(usize),
    Sample(u32),
}

/// The spreads of a dye; where the method states none, its range is shared out as in the usual
/// class: sessions differ half as much again as papers and spots.
fn spread(reference: &Reference) -> Sd {
    let total = reference.expected_rf.width() / 2.0 / HALF_WIDTH_IN_SD;
    let unit = total / (1.0_f64 + 1.0 + 1.5 * 1.5).sqrt();
    let given = reference.sd;
    let or = |value: Option<f64>, usual: f64| value.unwrap_or(usual);
    Sd {
        within: or(given.and_then(|sd| sd.within_paper), unit),
        papers: or(given.and_then(|sd| sd.between_papers), unit),
        sessions: or(given.and_then(|sd| sd.between_sessions), 1.5 * unit),
    }
}

/// Spots by rising Rf, neighbours that touch as one: where the stronger is, in its colour.
fn merged(mut marks: Vec<Mark>) -> Vec<Mark> {
    marks.sort_by(|a, b| a.rf.total_cmp(&b.rf));
    let mut out: Vec<Mark> = vec![];
    for mark in marks {
        match out.last_mut() {
            Some(last) if mark.rf - last.rf < ONE_SPOT => {
                let share = mark.strength / (mark.strength + last.strength).max(f64::MIN_POSITIVE);
                last.rf += share * (mark.rf - last.rf);
                if mark.strength > last.strength {
                    last.colour = mark.colour;
                    last.strength = mark.strength;
                }
                last.truth.outside |= mark.truth.outside;
                last.truth.dyes.extend(mark.truth.dyes);
                last.truth.dyes.sort_unstable();
                last.truth.dyes.dedup();
            }
            _ => out.push(mark),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{Mark, Term, merged};
    use crate::bundled_documents::{DYES, METHODS};
    use crate::strategy_compare_cases::SpotTruth;
    use dyebook_documents::{Dye, DyeRegister, Method};

    fn method() -> Method {
        serde_json::from_str(METHODS[0]).unwrap()
    }

    fn dyes() -> DyeRegister {
        DyeRegister::new(serde_json::from_str::<Vec<Dye>>(DYES).unwrap())
    }

    fn mark(rf: f64, dye: &str, strength: f64) -> Mark {
        Mark {
            rf,
            colour: Some(format!("colour of {dye}")),
            strength,
            truth: SpotTruth {
                dyes: vec![dye.to_owned()],
                outside: false,
            },
        }
    }

    #[test]
    fn neighbours_that_touch_are_one_spot_of_both_dyes_in_the_colour_of_the_stronger() {
        let marks = vec![
            mark(0.52, "b", 0.5),
            mark(0.50, "a", 1.5),
            mark(0.70, "c", 1.0),
        ];
        let merged = merged(marks);
        assert_eq!(merged.len(), 2);
        assert_eq!(merged[0].truth.dyes, ["a", "b"]);
        assert_eq!(merged[0].colour.as_deref(), Some("colour of a"));
        assert!((merged[0].rf - 0.505).abs() < 1e-12);
    }

    #[test]
    fn a_method_that_states_no_spread_is_simulated_by_its_ranges() {
        let mut method = method();
        method
            .references
            .iter_mut()
            .for_each(|reference| reference.sd = None);
        let dyes = dyes();
        let term = Term::new(&method, &dyes, 1);
        let total = |at: usize| {
            let sd = term.sd[at];
            sd.within.hypot(sd.papers).hypot(sd.sessions)
        };
        let width = method.references[0].expected_rf.width();
        assert!((total(0) - width / 2.0 / 1.96).abs() < 1e-12);
    }
}
