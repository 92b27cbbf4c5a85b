//! Spots of one dye by session and paper.

use super::standards::StandardSpot;
use std::collections::BTreeMap;

/// What was run of one dye.
#[derive(Debug, Clone, PartialEq)]
pub struct DyeRuns {
    /// Dye identifier.
    pub dye: String,
    /// By session, in order of their names: section, then date.
    pub sessions: Vec<SessionRun>,
}

/// What was run of one dye in one session.
#[derive(Debug, Clone, PartialEq)]
pub struct SessionRun {
    /// Session, as the sheets have it.
    pub session: String,
    /// By paper.
    pub papers: Vec<PaperRun>,
}

/// What was run of one dye on one paper.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperRun {
    /// Sheet identifier.
    pub sheet: String,
    /// Paper.
    pub paper: String,
    /// Spots.
    pub spots: Vec<StandardSpot>,
}

impl PaperRun {
    /// Mean Rf of the paper's spots.
    pub fn mean(&self) -> f64 {
        mean(self.spots.iter().map(|spot| spot.rf))
    }
}

impl SessionRun {
    /// Mean of the papers' means.
    pub fn mean(&self) -> f64 {
        mean(self.papers.iter().map(PaperRun::mean))
    }
}

impl DyeRuns {
    /// Rf by session, paper and spot.
    pub fn values(&self) -> Vec<Vec<Vec<f64>>> {
        let of_paper = |paper: &PaperRun| paper.spots.iter().map(|spot| spot.rf).collect();
        self.sessions
            .iter()
            .map(|session| session.papers.iter().map(of_paper).collect())
            .collect()
    }

    /// All spots.
    pub fn spots(&self) -> impl Iterator<Item = &StandardSpot> {
        self.papers().flat_map(|paper| &paper.spots)
    }

    /// All papers.
    pub fn papers(&self) -> impl Iterator<Item = &PaperRun> {
        self.sessions.iter().flat_map(|session| &session.papers)
    }

    /// Colour words with the number of spots, the most usual first; spots without a word count as
    /// `not noted`, at the end.
    pub fn colours(&self) -> Vec<(String, u32)> {
        let mut seen: BTreeMap<String, u32> = BTreeMap::new();
        let mut without = 0;
        for spot in self.spots() {
            match spot.colour.as_deref().map(str::trim) {
                Some(word) if !word.is_empty() => {
                    *seen.entry(word.to_lowercase()).or_default() += 1;
                }
                _ => without += 1,
            }
        }
        let mut words: Vec<(String, u32)> = seen.into_iter().collect();
        words.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        if without > 0 {
            words.push(("not noted".to_owned(), without));
        }
        words
    }
}

/// Groups spots by dye, session and paper, each in the order of its name. Papers of one name on two
/// sheets are two papers.
pub(crate) fn by_dye(spots: &[StandardSpot]) -> Vec<DyeRuns> {
    type Papers<'a> = BTreeMap<(&'a str, &'a str), Vec<StandardSpot>>;
    let mut dyes: BTreeMap<&str, BTreeMap<&str, Papers<'_>>> = BTreeMap::new();
    for spot in spots {
        dyes.entry(&spot.dye)
            .or_default()
            .entry(&spot.session)
            .or_default()
            .entry((&spot.place.sheet, &spot.place.paper))
            .or_default()
            .push(spot.clone());
    }
    let paper = |((sheet, paper), spots): ((&str, &str), Vec<StandardSpot>)| PaperRun {
        sheet: sheet.to_owned(),
        paper: paper.to_owned(),
        spots,
    };
    let session = |(session, papers): (&str, Papers<'_>)| SessionRun {
        session: session.to_owned(),
        papers: papers.into_iter().map(paper).collect(),
    };
    dyes.into_iter()
        .map(|(dye, sessions)| DyeRuns {
            dye: dye.to_owned(),
            sessions: sessions.into_iter().map(session).collect(),
        })
        .collect()
}

/// A session in words: `bench, 2026-08-10`.
pub(crate) fn session_words(session: &str) -> String {
    session.replace('|', ", ")
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    sum / count
}

#[cfg(test)]
pub(crate) mod tests {
    use super::{DyeRuns, by_dye};
    use crate::references::spot_place::SpotPlace;
    use crate::references::standards::StandardSpot;

    /// Runs of one dye with these Rf by session, paper and spot.
    pub(crate) fn runs(dye: &str, values: &[&[&[f64]]]) -> DyeRuns {
        let mut spots = Vec::new();
        for (s, papers) in values.iter().enumerate() {
            for (p, rf) in papers.iter().enumerate() {
                for (lane, rf) in (1..).zip(*rf) {
                    spots.push(StandardSpot {
                        dye: dye.to_owned(),
                        session: format!("bench|day {s}"),
                        place: SpotPlace {
                            sheet: format!("sheet-{s}"),
                            paper: format!("P{p}"),
                            lane,
                            spot: 1,
                        },
                        rf: *rf,
                        colour: (lane > 1).then(|| "Red".to_owned()),
                    });
                }
            }
        }
        by_dye(&spots).remove(0)
    }

    #[test]
    fn papers_of_one_name_on_two_sheets_are_two() {
        let runs = runs("allura-red-ac", &[&[&[0.40, 0.41], &[0.42]], &[&[0.39]]]);
        assert_eq!(
            runs.values(),
            [vec![vec![0.40, 0.41], vec![0.42]], vec![vec![0.39]]]
        );
        assert_eq!(runs.papers().count(), 3);
        assert_eq!(
            runs.colours(),
            [("red".to_owned(), 1), ("not noted".to_owned(), 3)]
        );
        assert!((runs.sessions[0].mean() - 0.4125).abs() < 1e-12);
    }
}
