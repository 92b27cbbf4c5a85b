//! A term as large as one likes, for the benches: files of many sections, each group's standards
//! and samples, spots where the bundled method expects them, with the spread it states.

use rand::RngExt as _;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use std::fmt::Write as _;

/// A dye of `harrow-saline@1.1.0`: label, Rf, colour.
const DYES: [(&str, f64, &str); 10] = [
    ("Blue 2", 0.105, "blue"),
    ("Red 3", 0.18, "pink"),
    ("Azorubine", 0.29, "red"),
    ("Red 40", 0.405, "red"),
    ("Yellow 6", 0.49, "orange"),
    ("Yellow 5", 0.60, "yellow"),
    ("Ponceau 4R", 0.625, "red"),
    ("Patent blue V", 0.82, "blue"),
    ("Green 3", 0.87, "green"),
    ("Blue 1", 0.92, "blue"),
];
/// Dyes on the standards paper of a group.
const STANDARDS: [usize; 6] = [0, 1, 3, 4, 5, 9];
const GROUPS: usize = 16;
const SAMPLE_LANES: u32 = 6;
const MOST_DYES: usize = 3;
/// SD of Rf between sessions, between papers, between spots.
const SPREAD: (f64, f64, f64) = (0.015, 0.01, 0.01);

const HEADER: &str =
    "section,group,date,method,batch,paper,role,lane,label,spot,distance_cm,front_cm,colour\n";

/// Files of a term, one a session of a section, until so many spots are written.
#[derive(Debug)]
pub struct LargeTerm {
    random: ChaCha8Rng,
    spots_left: usize,
    session: usize,
}

/// One file of it.
#[derive(Debug, Clone)]
pub struct TermFile {
    /// Its name.
    pub name: String,
    /// Its text.
    pub text: String,
    /// Spots in it.
    pub spots: usize,
}

impl LargeTerm {
    /// A term of so many spots; the same seed makes the same term.
    pub fn new(spots: usize, seed: u64) -> Self {
        Self {
            random: ChaCha8Rng::seed_from_u64(seed),
            spots_left: spots,
            session: 0,
        }
    }

    fn normal(&mut self, sd: f64) -> f64 {
        let drawn: f64 = StandardNormal.sample(&mut self.random);
        sd * drawn
    }

    fn group(&mut self, file: &mut TermFile, head: &str, group: usize, session_shift: f64) {
        for paper in 1..=2 {
            let shift = session_shift + self.normal(SPREAD.1);
            let front = 8.0 + self.normal(0.15);
            let lanes = if paper == 1 {
                u32::try_from(STANDARDS.len()).unwrap_or_default()
            } else {
                SAMPLE_LANES
            };
            for lane in 1..=lanes {
                let (role, label, dyes) = if paper == 1 {
                    let dye = STANDARDS[lane as usize - 1];
                    ("standard", DYES[dye].0.to_owned(), vec![dye])
                } else {
                    ("sample", format!("sample {lane}"), self.mixture())
                };
                let front = front + self.normal(0.03);
                for (spot, dye) in (1..).zip(dyes) {
                    if self.spots_left == 0 {
                        return;
                    }
                    let (_, rf, colour) = DYES[dye];
                    let distance = (front * (rf + shift + self.normal(SPREAD.2))).max(0.05);
                    let line = format!(
                        "{head},g{group}-{paper},{role},{lane},{label},{spot},{distance:.2},{front:.2},{colour}"
                    );
                    writeln!(file.text, "{line}").unwrap();
                    file.spots += 1;
                    self.spots_left -= 1;
                }
            }
        }
    }

    fn mixture(&mut self) -> Vec<usize> {
        let mut dyes: Vec<usize> = (0..self.random.random_range(1..=MOST_DYES))
            .map(|_| self.random.random_range(0..DYES.len()))
            .collect();
        dyes.sort_unstable();
        dyes.dedup();
        dyes
    }
}

impl Iterator for LargeTerm {
    type Item = TermFile;

    fn next(&mut self) -> Option<TermFile> {
        if self.spots_left == 0 {
            return None;
        }
        self.session += 1;
        let (section, week) = (self.session / 12 + 1, self.session % 12);
        // From the day on which the method is in use.
        let date = format!("2026-{:02}-{:02}", 10 + week / 4, 6 + 7 * (week % 4));
        let mut file = TermFile {
            name: format!("section-{section:04}-{date}.csv"),
            text: HEADER.to_owned(),
            spots: 0,
        };
        let shift = self.normal(SPREAD.0);
        for group in 1..=GROUPS {
            let head = format!("S{section:04},g{group},{date},harrow-saline@1.1.0,B1");
            self.group(&mut file, &head, group, shift);
        }
        Some(file)
    }
}

#[cfg(test)]
mod tests {
    use super::LargeTerm;

    #[test]
    fn a_term_has_the_spots_asked_for_and_no_group_twice() {
        let files: Vec<_> = LargeTerm::new(5_000, 1).collect();
        assert_eq!(files.iter().map(|file| file.spots).sum::<usize>(), 5_000);
        let rows = files.iter().map(|file| file.text.lines().count() - 1);
        assert_eq!(rows.sum::<usize>(), 5_000);
        let names: std::collections::BTreeSet<_> = files.iter().map(|file| &file.name).collect();
        assert_eq!(names.len(), files.len());
    }
}
