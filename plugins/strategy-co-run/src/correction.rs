//! The correction of one lane: by which standards, in which form, and how good it is.

use dyebook_plugin::strategy::reasons;
use dyebook_statistics::least_squares::{Line, weighted_line};
use dyebook_statistics::planar::{
    Anchor, CorrectionError, correct_by_one, correct_by_polygon, correct_by_two,
    correction_residual,
};

use crate::anchors::{PaperStandards, Standard};
use crate::{Config, Form};

/// A correction, or none with the reasons why.
#[derive(Clone, Debug)]
pub(crate) struct Correction {
    kind: Kind,
    /// Whether its standards ran on the lane's own paper.
    pub(crate) here: bool,
    /// What it is made of, in words.
    pub(crate) by: String,
    /// What was tried before and refused, in words.
    pub(crate) refused: Vec<String>,
}

#[derive(Clone, Debug)]
enum Kind {
    None,
    One(Standard),
    Line {
        line: Line,
        lowest: f64,
        highest: f64,
    },
    Polygon {
        anchors: Vec<Anchor>,
        sd: f64,
    },
}

/// A corrected Rf.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Value {
    pub(crate) rf: f64,
    /// Standard deviation that the correction adds.
    pub(crate) sd: f64,
    /// Factor on the spot's own standard deviation.
    pub(crate) slope: f64,
    /// Whether the spot lies outside the standards.
    pub(crate) extrapolated: bool,
}

impl Correction {
    /// The best correction that the guards let pass: the lane's own paper first, then the others of
    /// the session.
    pub(crate) fn choose(config: &Config, papers: &[PaperStandards]) -> Self {
        let mut refused = Vec::new();
        for paper in papers.iter().filter(|paper| !paper.standards.is_empty()) {
            match Self::of_paper(config, paper) {
                Ok(mut correction) => {
                    correction.refused = refused;
                    return correction;
                }
                Err(why) => refused.push(format!(
                    "the standards {} were not used: {why}",
                    place(paper.here)
                )),
            }
        }
        Self {
            kind: Kind::None,
            here: false,
            by: String::new(),
            refused,
        }
    }

    fn of_paper(config: &Config, paper: &PaperStandards) -> Result<Self, String> {
        let standards = &paper.standards;
        let kind = match (standards.as_slice(), config.form) {
            ([], _) => return Err("there are none".into()),
            ([one], _) => {
                correct_by_one(one.anchor, one.anchor.observed)
                    .map_err(|error| error.to_string())?;
                if !paper.here {
                    return Err("one alone on another paper says nothing of this one".into());
                }
                Kind::One(one.clone())
            }
            (several, Form::Line) => line(config, several)?,
            (several, Form::Polygon) => polygon(config, several)?,
        };
        let names: Vec<&str> = standards.iter().map(|known| known.dye.as_str()).collect();
        let how = match kind {
            Kind::One(_) => "scaled by",
            Kind::Polygon { .. } => "corrected in straight pieces by",
            _ => "corrected on a line by",
        };
        let by = format!("{how} {} {}", reasons::all_of(&names), place(paper.here));
        Ok(Self {
            kind,
            here: paper.here,
            by,
            refused: Vec::new(),
        })
    }

    pub(crate) fn is_none(&self) -> bool {
        matches!(self.kind, Kind::None)
    }

    /// The corrected value of a spot; the spot's own where there is no correction.
    pub(crate) fn apply(&self, config: &Config, rf: f64) -> Value {
        let plain = Value {
            rf,
            sd: 0.0,
            slope: 1.0,
            extrapolated: false,
        };
        match &self.kind {
            Kind::None => plain,
            Kind::One(standard) => correct_by_one(standard.anchor, rf).map_or(plain, |corrected| {
                // the standard's own error grows with the distance from the start line, and whether
                // the paper stretched, as is assumed, or shifted, one standard can't say
                let own = standard.sd * corrected.value / standard.anchor.observed;
                let shifted = rf + standard.anchor.reference - standard.anchor.observed;
                let sd = own.hypot((corrected.value - shifted) / 2.0);
                Value {
                    rf: corrected.value,
                    sd,
                    slope: corrected.slope,
                    extrapolated: true,
                }
            }),
            Kind::Line {
                line,
                lowest,
                highest,
            } => {
                let at = line.predict(rf);
                let extrapolated = rf < *lowest || rf > *highest;
                Value {
                    rf: at.value,
                    sd: at.u,
                    slope: line.slope,
                    extrapolated,
                }
            }
            Kind::Polygon { anchors, sd } => {
                correct_by_polygon(anchors, rf, 1.0, config.polygon_gap).map_or(
                    plain,
                    |corrected| {
                        let (slope, extrapolated) = (corrected.slope, corrected.extrapolated);
                        Value {
                            rf: corrected.value,
                            sd: sd * slope,
                            slope,
                            extrapolated,
                        }
                    },
                )
            }
        }
    }
}

fn place(here: bool) -> &'static str {
    if here {
        "on this paper"
    } else {
        "on the session's other paper"
    }
}

/// A line through all standards: outermost far enough apart, one order, residuals within the limit.
fn line(config: &Config, standards: &[Standard]) -> Result<Kind, String> {
    let (first, last) = (&standards[0], &standards[standards.len() - 1]);
    let words = |error: CorrectionError| error.to_string();
    for pair in standards.windows(2) {
        correct_by_two(pair[0].anchor, pair[1].anchor, 0.0, 0.0).map_err(words)?;
    }
    correct_by_two(first.anchor, last.anchor, 0.0, config.minimum_gap).map_err(words)?;
    let observed: Vec<f64> = standards
        .iter()
        .map(|known| known.anchor.observed)
        .collect();
    let reference: Vec<f64> = standards
        .iter()
        .map(|known| known.anchor.reference)
        .collect();
    let sd: Vec<f64> = standards.iter().map(|known| known.sd).collect();
    let line = weighted_line(&observed, &reference, &sd).map_err(|error| error.to_string())?;
    if standards.len() > 2 {
        let left: Vec<(f64, f64)> = observed
            .iter()
            .zip(&reference)
            .map(|(observed, reference)| (line.predict(*observed).value, *reference))
            .collect();
        check_residual(config, &left)?;
    }
    let (lowest, highest) = (observed[0], observed[observed.len() - 1]);
    Ok(Kind::Line {
        line,
        lowest,
        highest,
    })
}

/// Pieces between standards: each inner one is checked against the polygon of the others.
fn polygon(config: &Config, standards: &[Standard]) -> Result<Kind, String> {
    let anchors: Vec<Anchor> = standards.iter().map(|known| known.anchor).collect();
    let words = |error: CorrectionError| error.to_string();
    correct_by_polygon(&anchors, 0.5, 1.0, config.polygon_gap).map_err(words)?;
    let mut left = Vec::new();
    for inner in 1..anchors.len() - 1 {
        let mut others = anchors.clone();
        let held_back = others.remove(inner);
        let corrected = correct_by_polygon(&others, held_back.observed, 1.0, config.polygon_gap)
            .map_err(words)?;
        left.push((corrected.value, held_back.reference));
    }
    if !left.is_empty() {
        check_residual(config, &left)?;
    }
    let sd = standards.iter().map(|known| known.sd).fold(0.0, f64::max);
    Ok(Kind::Polygon { anchors, sd })
}

fn check_residual(config: &Config, left: &[(f64, f64)]) -> Result<(), String> {
    let residual = correction_residual(left).map_err(|error| error.to_string())?;
    if residual > config.residual_limit {
        return Err(format!(
            "they disagree with one another by {} after correction, more than {}",
            reasons::rounded(residual, 3),
            config.residual_limit
        ));
    }
    Ok(())
}
