//! The standards that ran beside a lane: where each stood, and where it should have stood.

use dyebook_plugin::strategy::{
    ColourTable, ColourVerdict, KnownLane, Question, Reference, ReferenceSet, reasons,
};
use dyebook_statistics::planar::Anchor;

use crate::Config;
use crate::spread::Spread;

/// A standard on one paper.
#[derive(Clone, Debug)]
pub(crate) struct Standard {
    pub(crate) dye: String,
    pub(crate) anchor: Anchor,
    /// Standard deviation of its place about a correction that all dyes share.
    pub(crate) sd: f64,
}

/// The standards of one paper, by rising expected Rf.
#[derive(Clone, Debug)]
pub(crate) struct PaperStandards {
    /// Whether it is the lane's own paper.
    pub(crate) here: bool,
    pub(crate) standards: Vec<Standard>,
}

/// Standards by paper: the lane's own first, then the session's others, the fullest first.
pub(crate) fn standards(
    config: &Config,
    set: &ReferenceSet,
    colours: &ColourTable,
    question: &Question<'_>,
) -> Vec<PaperStandards> {
    let mut papers: Vec<(&str, Vec<&KnownLane>)> = vec![(question.lane.paper.as_str(), Vec::new())];
    for lane in question.known() {
        match papers.iter_mut().find(|(paper, _)| *paper == lane.paper) {
            Some((_, lanes)) => lanes.push(lane),
            None => papers.push((lane.paper.as_str(), vec![lane])),
        }
    }
    let mut found: Vec<PaperStandards> = papers
        .into_iter()
        .enumerate()
        .map(|(at, (_, lanes))| PaperStandards {
            here: at == 0,
            standards: of_paper(config, set, colours, &lanes),
        })
        .collect();
    // the lane's own paper stays first
    found[1..].sort_by_key(|paper| std::cmp::Reverse(paper.standards.len()));
    found
}

fn of_paper(
    config: &Config,
    set: &ReferenceSet,
    colours: &ColourTable,
    lanes: &[&KnownLane],
) -> Vec<Standard> {
    let mut standards: Vec<(Standard, f64)> = Vec::new();
    for lane in lanes {
        // a lane of several dyes names its spots only by guessing
        let [dye] = lane.dyes.as_slice() else {
            continue;
        };
        let Some(reference) = set.references.iter().find(|entry| entry.dye == *dye) else {
            continue;
        };
        let Some((rf, u)) = main_spot(reference, colours, lane) else {
            continue;
        };
        let spread = Spread::of(config, reference);
        let sd = spread.within.max(u).hypot(spread.own);
        let same = standards.iter_mut().find(|(known, _)| known.dye == *dye);
        if let Some((known, count)) = same {
            // the same dye twice on a paper: its mean
            *count += 1.0;
            known.anchor.observed += (rf - known.anchor.observed) / *count;
            known.sd = sd / count.sqrt();
        } else {
            let anchor = Anchor {
                observed: rf,
                reference: reference.centre(),
            };
            standards.push((
                Standard {
                    dye: dye.clone(),
                    anchor,
                    sd,
                },
                1.0,
            ));
        }
    }
    let mut standards: Vec<Standard> = standards.into_iter().map(|(known, _)| known).collect();
    standards.sort_by(|a, b| a.anchor.reference.total_cmp(&b.anchor.reference));
    standards
}

/// The spot of a standard's lane that is nearest to where the dye belongs, its colour not against it.
fn main_spot(reference: &Reference, colours: &ColourTable, lane: &KnownLane) -> Option<(f64, f64)> {
    lane.spots
        .iter()
        .filter(|spot| {
            let verdict = colours.judge(spot.colour.as_deref(), &reference.colours);
            verdict != ColourVerdict::Disagrees
        })
        .filter_map(|spot| Some((reasons::evaluable(spot).ok()?, spot.u.unwrap_or(0.0))))
        .min_by(|a, b| {
            let away = |rf: f64| (rf - reference.centre()).abs();
            away(a.0).total_cmp(&away(b.0))
        })
}
