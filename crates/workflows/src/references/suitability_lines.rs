//! What a suitability check looks at, line by line.

use super::like_coloured::like_coloured;
use super::standards::{StandardSpot, Standards, WhyLeftOut};
use dyebook_checks::EvaluatedSheet;
use dyebook_documents::{DyeRegister, Method, Range, Reference, Role, counted, show_rf};
use dyebook_report::SlipLine;
use dyebook_statistics::planar::resolution;

/// Two spots just touch at this resolution; taken where the method states no limit.
const TOUCHING: f64 = 1.0;
/// A gap counts as seen when it is beyond this many standard deviations of a difference of two spots
/// of one paper (normal distribution, 95 %).
const GAP_IN_SD: f64 = 1.96;
/// Spread of two spots on one paper where the method states none: the ruler's alone.
const USUAL_WITHIN_SD: f64 = 0.01;
/// Labels of a lane with nothing spotted.
const BLANK: [&str; 4] = ["blank", "water", "solvent", "empty"];

/// What was noted beside the sheet.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Noted {
    /// Time to run, min.
    pub minutes: Option<f64>,
    /// Temperature of the room, °C.
    pub temperature_c: Option<f64>,
}

/// The front of one paper.
struct PaperFront<'a> {
    name: &'a str,
    least: f64,
    most: f64,
    tilt: f64,
}

impl<'a> PaperFront<'a> {
    fn of(evaluated: &EvaluatedSheet, name: &'a str) -> Option<Self> {
        let fronts = || evaluated.lanes_of(name).filter_map(|lane| lane.front_cm);
        let (least, most) = (
            fronts().min_by(f64::total_cmp)?,
            fronts().max_by(f64::total_cmp)?,
        );
        let middle = mean(fronts()).filter(|mean| *mean > 0.0)?;
        Some(Self {
            name,
            least,
            most,
            tilt: (most - least) / middle,
        })
    }
}

/// What is looked at.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Looked<'a> {
    pub(crate) evaluated: &'a EvaluatedSheet,
    pub(crate) method: &'a Method,
    pub(crate) dyes: &'a DyeRegister,
    pub(crate) standards: &'a Standards,
    pub(crate) noted: Noted,
}

/// What was found.
#[derive(Debug, Clone, Default)]
pub(crate) struct Judged {
    pub(crate) lines: Vec<SlipLine>,
    /// What forbids a start, in sentences.
    pub(crate) stops: Vec<String>,
    /// What can't be relied on today, in sentences.
    pub(crate) restrictions: Vec<String>,
}

impl Judged {
    fn line(&mut self, what: impl Into<String>, value: String, limit: String, keeps: Option<bool>) {
        self.lines.push(SlipLine {
            what: what.into(),
            value,
            limit,
            keeps,
        });
    }
}

/// Looks at controls, pairs, fronts, blanks and extra spots.
pub(crate) fn lines(looked: &Looked<'_>) -> Judged {
    let mut judged = Judged::default();
    looked.controls(&mut judged);
    looked.pairs(&mut judged);
    looked.fronts(&mut judged);
    looked.blank(&mut judged);
    looked.extra_spots(&mut judged);
    looked.beside_the_sheet(&mut judged);
    judged
}

impl Looked<'_> {
    fn name(&self, dye: &str) -> String {
        self.dyes
            .by_id(dye)
            .map_or_else(|| dye.to_owned(), |dye| dye.name.clone())
    }

    fn spots(&self, dye: &str) -> Vec<&StandardSpot> {
        self.standards
            .spots
            .iter()
            .filter(|spot| spot.dye == dye)
            .collect()
    }

    fn mean_rf(&self, dye: &str) -> Option<f64> {
        mean(self.spots(dye).iter().map(|spot| spot.rf))
    }

    /// The method's controls, else every dye of it that was run.
    fn controls(&self, judged: &mut Judged) {
        let named = self.method.controls.clone().unwrap_or_default();
        let controls: Vec<String> = if named.is_empty() {
            let run = self
                .method
                .references
                .iter()
                .filter(|r| !self.spots(&r.dye).is_empty());
            run.map(|r| r.dye.clone()).collect()
        } else {
            named
        };
        let mut seen = 0;
        for dye in &controls {
            let Some(reference) = self.method.reference(dye) else {
                continue;
            };
            seen += usize::from(self.control(judged, dye, reference));
        }
        if seen == 0 {
            judged.stops.push(
                "No control was run, so nothing says that the values of the method hold today."
                    .to_owned(),
            );
        }
    }

    /// One control; answers whether it was run.
    fn control(&self, judged: &mut Judged, dye: &str, reference: &Reference) -> bool {
        let name = self.name(dye);
        let limit = format!("Rf {}", range(reference.expected_rf));
        let Some(rf) = self.mean_rf(dye) else {
            let unusable = self
                .standards
                .left_out
                .iter()
                .find(|left_out| left_out.dye == dye && left_out.kind == WhyLeftOut::Unusable);
            let value = unusable.map_or_else(
                || "not run".to_owned(),
                |left_out| format!("no usable spot: {}", left_out.why),
            );
            judged.restrictions.push(format!(
                "{name} can't be relied on today: {}.",
                if unusable.is_some() {
                    "its control has no usable spot"
                } else {
                    "the control was not run"
                }
            ));
            judged.line(format!("control {name}"), value, limit, None);
            return false;
        };
        let sd = reference
            .sd
            .and_then(|sd| sd.intermediate())
            .filter(|sd| *sd > 0.0);
        let away = sd.map_or_else(String::new, |sd| {
            format!(
                ", {:+.1} SD from the assigned value",
                (rf - reference.centre()) / sd
            )
        });
        let keeps = reference.expected_rf.contains(rf);
        if !keeps {
            judged.stops.push(format!(
                "{name} ran to Rf {}, outside its expected range {}.",
                show_rf(rf),
                range(reference.expected_rf)
            ));
        }
        let value = format!("Rf {}{away}", show_rf(rf));
        judged.line(format!("control {name}"), value, limit, Some(keeps));
        true
    }

    /// The method's critical pairs, else the two dyes of like colour that lie closest.
    fn pairs(&self, judged: &mut Judged) {
        let mut pairs: Vec<(String, String)> = self
            .method
            .critical_pairs
            .iter()
            .flatten()
            .map(|[one, other]| (one.clone(), other.clone()))
            .collect();
        if pairs.is_empty() {
            let closest = like_coloured(self.method, self.dyes).into_iter().next();
            pairs.extend(closest.map(|pair| (pair.lower, pair.upper)));
        }
        for (one, other) in pairs {
            if let (Some(a), Some(b)) = (self.method.reference(&one), self.method.reference(&other))
            {
                let (lower, upper) = if a.centre() <= b.centre() {
                    (a, b)
                } else {
                    (b, a)
                };
                self.pair(judged, lower, upper);
            }
        }
    }

    fn pair(&self, judged: &mut Judged, lower: &Reference, upper: &Reference) {
        let (low, high) = (self.name(&lower.dye), self.name(&upper.dye));
        let what = format!("pair {low}, {high}");
        let wanted = self
            .method
            .acceptance
            .as_ref()
            .and_then(|acceptance| acceptance.resolution_min)
            .unwrap_or(TOUCHING);
        let (Some(first), Some(second)) = (self.mean_rf(&lower.dye), self.mean_rf(&upper.dye))
        else {
            judged.line(
                what,
                "not run together".to_owned(),
                format!("resolution at least {wanted}"),
                None,
            );
            return;
        };
        let gap = second - first;
        let (value, limit, keeps) = match self.widths(&lower.dye, &upper.dye) {
            Some((w1, w2)) if w1 + w2 > 0.0 => {
                let rs = resolution(first, second, w1, w2).unwrap_or(0.0);
                (
                    format!("resolution {rs:.1}"),
                    format!("resolution at least {wanted}"),
                    rs >= wanted,
                )
            }
            _ => {
                let least = GAP_IN_SD * within(lower).hypot(within(upper));
                (
                    format!("gap {gap:.3} in Rf; no widths noted"),
                    format!("gap at least {least:.3}"),
                    gap >= least,
                )
            }
        };
        let alike = like_coloured(self.method, self.dyes).iter().any(|pair| {
            pair.lower == lower.dye && pair.upper == upper.dye
                || pair.lower == upper.dye && pair.upper == lower.dye
        });
        if !keeps {
            judged.restrictions.push(if alike {
                format!("{low} and {high} can't be told apart today ({value}): leave the pair out of the unknowns.")
            } else {
                format!("{low} and {high} are told apart by their colours only today ({value}).")
            });
        }
        judged.line(what, value, limit, Some(keeps));
    }

    /// Mean widths of the spots of two dyes, in Rf, where the sheet has them.
    fn widths(&self, one: &str, other: &str) -> Option<(f64, f64)> {
        let width = |dye: &str| {
            let spots = self.spots(dye);
            mean(spots.iter().filter_map(|spot| {
                let lanes = self.evaluated.lanes.iter();
                lanes
                    .filter(|l| l.paper == spot.place.paper && l.lane == spot.place.lane)
                    .flat_map(|l| &l.spots)
                    .find(|s| s.spot == spot.place.spot)?
                    .width_rf
            }))
        };
        Some((width(one)?, width(other)?))
    }

    fn fronts(&self, judged: &mut Judged) {
        let Some(acceptance) = &self.method.acceptance else {
            return;
        };
        let papers: Vec<PaperFront<'_>> = self
            .evaluated
            .papers
            .iter()
            .filter_map(|paper| PaperFront::of(self.evaluated, paper))
            .collect();
        let (Some(least), Some(most), Some(worst)) = (
            papers
                .iter()
                .map(|paper| paper.least)
                .min_by(f64::total_cmp),
            papers.iter().map(|paper| paper.most).max_by(f64::total_cmp),
            papers.iter().max_by(|a, b| a.tilt.total_cmp(&b.tilt)),
        ) else {
            judged.line(
                "front",
                "not written".to_owned(),
                "written for each lane".to_owned(),
                None,
            );
            return;
        };
        if let Some(limit) = limits(acceptance.front_min_cm, acceptance.front_max_cm) {
            let inside = |paper: &PaperFront<'_>| {
                acceptance
                    .front_min_cm
                    .is_none_or(|least| paper.least >= least)
                    && acceptance
                        .front_max_cm
                        .is_none_or(|most| paper.most <= most)
            };
            for paper in papers.iter().filter(|paper| !inside(paper)) {
                judged.stops.push(format!(
                    "The front of paper {} ran {:.2} to {:.2} cm, where {limit} is asked for.",
                    paper.name, paper.least, paper.most
                ));
            }
            let keeps = papers.iter().all(inside);
            judged.line(
                "front",
                format!("{least:.2} to {most:.2} cm"),
                limit,
                Some(keeps),
            );
        }
        if let Some(limit) = acceptance.front_tilt {
            let most = format!("at most {:.1} %", limit * 100.0);
            for paper in papers.iter().filter(|paper| paper.tilt > limit) {
                judged.stops.push(format!(
                    "The front of paper {} is tilted by {:.1} %, where {most} is allowed.",
                    paper.name,
                    paper.tilt * 100.0
                ));
            }
            let value = format!("{:.1} % (paper {})", worst.tilt * 100.0, worst.name);
            judged.line("front tilt", value, most, Some(worst.tilt <= limit));
        }
    }

    fn blank(&self, judged: &mut Judged) {
        let blanks: Vec<_> = self
            .evaluated
            .lanes
            .iter()
            .filter(|lane| {
                let label = lane.label.trim().to_lowercase();
                lane.role == Role::Sample && BLANK.contains(&label.as_str())
            })
            .collect();
        if blanks.is_empty() {
            judged.line("blank", "not run".to_owned(), "no spot".to_owned(), None);
            return;
        }
        for lane in blanks {
            let clean = lane.spots.is_empty();
            let count = counted(lane.spots.len(), "spot");
            if !clean {
                judged.stops.push(format!(
                    "The blank in lane {} of paper {} shows {count}.",
                    lane.lane, lane.paper
                ));
            }
            judged.line(
                format!("blank, paper {}, lane {}", lane.paper, lane.lane),
                if clean { "no spot".to_owned() } else { count },
                "no spot".to_owned(),
                Some(clean),
            );
        }
    }

    fn extra_spots(&self, judged: &mut Judged) {
        let extra: Vec<_> = self
            .standards
            .left_out
            .iter()
            .filter(|left_out| left_out.kind == WhyLeftOut::NotExpected)
            .collect();
        for spot in &extra {
            judged.restrictions.push(format!(
                "The standard of {} in lane {} of paper {} shows a further spot at Rf {}: check the \
                 bottle before it is used.",
                self.name(&spot.dye),
                spot.place.lane,
                spot.place.paper,
                spot.rf.map_or_else(|| "-".to_owned(), show_rf)
            ));
        }
        judged.line(
            "further spots of standards",
            extra.len().to_string(),
            "none but expected minor spots".to_owned(),
            Some(extra.is_empty()),
        );
    }

    /// Limits on what a data sheet does not hold: told by the person who asks, or not known.
    fn beside_the_sheet(&self, judged: &mut Judged) {
        if let Some(window) = self.method.temperature_c {
            noted(
                judged,
                "temperature",
                "°C",
                self.noted.temperature_c,
                window,
            );
        }
        let Some(acceptance) = &self.method.acceptance else {
            return;
        };
        if let Some(window) = acceptance.run_minutes {
            noted(judged, "time to run", "min", self.noted.minutes, window);
        }
        if let Some(most) = acceptance.tail_length_max {
            let tails = self.evaluated.lanes.iter().filter(|lane| lane.is_known());
            let noted = tails
                .flat_map(|lane| &lane.spots)
                .filter(|spot| {
                    let shape = spot
                        .shape
                        .as_deref()
                        .unwrap_or_default()
                        .trim()
                        .to_lowercase();
                    shape.starts_with("tail")
                })
                .count();
            let value = match noted {
                0 => "no tail noted".to_owned(),
                count => format!(
                    "{} noted with a tail, its length not written",
                    counted(count, "spot")
                ),
            };
            let limit = format!("at most {most} spot widths");
            judged.line(
                "tails of standards",
                value,
                limit,
                (noted == 0).then_some(true),
            );
        }
    }
}

/// A number told beside the sheet, against its window.
fn noted(judged: &mut Judged, what: &str, unit: &str, value: Option<f64>, window: Range) {
    let limit = format!("{} to {} {unit}", window.low, window.high);
    let keeps = value.map(|value| window.contains(value));
    if let (Some(value), Some(false)) = (value, keeps) {
        judged.stops.push(format!(
            "The {what} was {value} {unit}, where {limit} is asked for."
        ));
    }
    let found = value.map_or_else(
        || "not written".to_owned(),
        |value| format!("{value} {unit}"),
    );
    judged.line(what, found, limit, keeps);
}

fn within(reference: &Reference) -> f64 {
    let stated = reference
        .sd
        .and_then(|sd| sd.within_paper)
        .filter(|sd| *sd > 0.0);
    stated.unwrap_or(USUAL_WITHIN_SD)
}

fn limits(least: Option<f64>, most: Option<f64>) -> Option<String> {
    match (least, most) {
        (Some(least), Some(most)) => Some(format!("{least} to {most} cm")),
        (Some(least), None) => Some(format!("at least {least} cm")),
        (None, Some(most)) => Some(format!("at most {most} cm")),
        (None, None) => None,
    }
}

fn range(range: Range) -> String {
    format!("{} to {}", show_rf(range.low), show_rf(range.high))
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    (count > 0.0).then(|| sum / count)
}
