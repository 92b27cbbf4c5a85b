//! From a sheet's rows to the figure of one of its papers.

use crate::drawings::paper::{BarFigure, LaneFigure, PaperFigure, SpotFigure};
use crate::sheet_report::SheetReport;
use dyebook_documents::{Lane, Layout, LengthUnit, Range, Role};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// Where the method doesn't say: usual numbers (common practice, no source).
const USUAL_PITCH_CM: f64 = 2.0;
const USUAL_BASELINE_CM: f64 = 1.5;
/// A lane number beyond this is a slip of the pen, and lanes are drawn in the order of the sheet.
const MOST_LANES: u32 = 24;
/// Bars a lane can show legibly.
const MOST_BARS: usize = 6;

/// The figure of one paper and the caption that says what its scale rests on.
pub(crate) fn paper_figure(
    report: &SheetReport<'_>,
    index: usize,
    paper: &str,
) -> (PaperFigure, String) {
    let lanes: Vec<&Lane> = report.sheet.lanes_of(paper).collect();
    let letters = letters(report);
    let places = Places::of(report.method.layout.as_ref(), &lanes, report);
    let drawn = lanes
        .iter()
        .enumerate()
        .map(|(at, lane)| LaneFigure {
            number: lane.lane,
            role: match report.role_of(lane) {
                Role::Standard => "dye standard",
                Role::Sample => "sample",
                Role::Bridging => "bridging",
            },
            label: lane.label.to_string(),
            x_cm: places.x_cm(at, lane.lane),
            fronts_cm: fronts(report, lane),
            spots: spots(report, lane),
            bars: bars(report, lane, &letters),
        })
        .collect();
    let figure = PaperFigure {
        id: format!("paper-{index}"),
        name: paper.to_owned(),
        width_cm: places.width_cm,
        height_cm: places.height_cm,
        baseline_cm: places.baseline_cm,
        pitch_cm: places.pitch_cm,
        shrink: places.shrink,
        lanes: drawn,
    };
    let caption = places.caption(paper);
    (figure, caption)
}

/// Where things stand on the paper, from the method's layout or around the data.
struct Places {
    width_cm: f64,
    height_cm: f64,
    baseline_cm: f64,
    pitch_cm: f64,
    shrink: f64,
    lanes: u32,
    by_number: bool,
    stated: bool,
}

impl Places {
    fn of(layout: Option<&Layout>, lanes: &[&Lane], report: &SheetReport<'_>) -> Self {
        let highest = lanes.iter().map(|lane| lane.lane).max().unwrap_or(1);
        let mut numbers: Vec<u32> = lanes.iter().map(|lane| lane.lane).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let by_number =
            numbers.len() == lanes.len() && highest <= MOST_LANES && !numbers.contains(&0);
        let on_sheet = u32::try_from(lanes.len()).unwrap_or(MOST_LANES).max(1);
        let planned = layout.and_then(|l| l.lanes).unwrap_or(0).min(MOST_LANES);
        let lanes_drawn = if by_number { highest } else { on_sheet }.max(planned);
        let baseline_cm = layout
            .and_then(|l| l.baseline_cm)
            .unwrap_or(USUAL_BASELINE_CM);
        let pitch = layout.and_then(|l| l.lane_pitch_cm);
        let width = layout.and_then(|l| l.paper_width_cm);
        let height = layout.and_then(|l| l.paper_height_cm);
        let count = f64::from(lanes_drawn);
        let pitch_cm = pitch
            .or(width.map(|w| w / (count + 1.0)))
            .unwrap_or(USUAL_PITCH_CM);
        let mut all: Vec<f64> = lanes.iter().flat_map(|lane| fronts(report, lane)).collect();
        all.sort_by(f64::total_cmp);
        let longest = all.last().copied().unwrap_or(0.0);
        // Never below the start line, and no taller than any paper where nothing is stated.
        let height_cm = height
            .unwrap_or(baseline_cm + longest.clamp(3.0, 30.0) + 1.5)
            .max(baseline_cm + 1.0);
        let middle = all.get(all.len() / 2).copied().unwrap_or(0.0);
        let shrink = if middle > height_cm - baseline_cm {
            (height_cm - baseline_cm) * 0.9 / longest
        } else {
            1.0
        };
        Self {
            // Never narrower than its lanes: the drawing says what the sheet says.
            width_cm: width.unwrap_or(0.0).max(count * pitch_cm),
            height_cm,
            shrink,
            baseline_cm,
            pitch_cm,
            lanes: lanes_drawn,
            by_number,
            stated: pitch.is_some() && width.is_some() && height.is_some(),
        }
    }

    /// The lanes stand in the middle of the paper.
    fn x_cm(&self, at: usize, number: u32) -> f64 {
        let place = if self.by_number {
            number
        } else {
            u32::try_from(at).unwrap_or(MOST_LANES) + 1
        };
        let middle = f64::midpoint(f64::from(self.lanes), 1.0);
        self.width_cm / 2.0 + (f64::from(place) - middle) * self.pitch_cm
    }

    fn caption(&self, paper: &str) -> String {
        let rests = if self.stated {
            "Paper, start line and lanes as the method's layout says."
        } else {
            "The method doesn't state the whole layout; what is missing is drawn around the data."
        };
        let order = if self.by_number {
            ""
        } else {
            " Lanes stand in the order of the sheet, as their numbers can't all be right."
        };
        let scale = if self.shrink < 1.0 {
            "heights not to scale: most fronts, as written, lie beyond the paper, so all distances \
             are drawn shorter by one factor, which leaves every Rf where it is. The ruler counts \
             as written"
        } else {
            "upright and across in one scale"
        };
        format!("Paper {paper}, {scale}. {rests}{order}")
    }
}

/// A ruler reading in cm.
fn centimetres(exact: Option<Decimal>) -> Option<f64> {
    exact?.to_f64().filter(|cm| cm.is_finite())
}

/// The lane's fronts, each once.
fn fronts(report: &SheetReport<'_>, lane: &Lane) -> Vec<f64> {
    let mut exact: Vec<Decimal> = Vec::new();
    for front in lane
        .rows
        .iter()
        .filter_map(|row| row.front_cm(report.sheet.units))
    {
        if !exact.contains(&front) {
            exact.push(front);
        }
    }
    exact
        .into_iter()
        .filter_map(|front| centimetres(Some(front)))
        .collect()
}

fn spots(report: &SheetReport<'_>, lane: &Lane) -> Vec<SpotFigure> {
    let units = report.sheet.units;
    report
        .spots_of(lane)
        .into_iter()
        .filter_map(|spot| {
            let width_unit = units.width.unwrap_or(LengthUnit::Centimetre);
            let width = spot
                .row
                .width
                .as_ref()
                .map(|w| w.exact() * width_unit.in_cm());
            Some(SpotFigure {
                number: spot.number,
                distance_cm: centimetres(spot.row.distance_cm(units))?,
                width_cm: centimetres(width).filter(|w| (0.05..5.0).contains(w)),
                rf: spot.rf,
                colour: spot.row.colour.as_deref().map(str::to_owned),
            })
        })
        .collect()
}

/// What a lane is held against: a standard's own dye first, then the candidates of its spots.
fn expected(report: &SheetReport<'_>, lane: &Lane) -> Vec<(String, Range)> {
    let mut found: Vec<(String, Range)> = Vec::new();
    if report.role_of(lane) != Role::Sample
        && let Some(dye) = report.labelled_dye(lane)
        && let Some(reference) = report.method.reference(dye)
    {
        found.push((report.dye_name(dye), reference.expected_rf));
    }
    for spot in report.spots_of(lane) {
        for candidate in spot.identity.map_or(&[][..], |i| &i.candidates) {
            let name = report.dye_names(&candidate.dyes);
            if !found.iter().any(|(known, _)| *known == name) {
                found.push((name, candidate.expected));
            }
        }
    }
    found.truncate(MOST_BARS);
    found
}

/// All names drawn anywhere on the sheet, sorted: the place in the list is the letter.
fn letters(report: &SheetReport<'_>) -> Vec<String> {
    let mut names: Vec<String> = report
        .sheet
        .lanes
        .iter()
        .flat_map(|lane| expected(report, lane))
        .map(|(name, _)| name)
        .collect();
    names.sort_unstable();
    names.dedup();
    names
}

fn bars(report: &SheetReport<'_>, lane: &Lane, letters: &[String]) -> Vec<BarFigure> {
    expected(report, lane)
        .into_iter()
        .map(|(name, expected)| {
            let index = letters.iter().position(|known| *known == name).unwrap_or(0);
            BarFigure {
                letter: letter(index),
                hatch: index,
                name,
                expected,
            }
        })
        .collect()
}

/// A, B … Z, then A2, B2 …
fn letter(index: usize) -> String {
    let base = u8::try_from(index % 26).unwrap_or(0);
    let round = index / 26;
    let letter = char::from(b'A' + base);
    if round == 0 {
        letter.to_string()
    } else {
        format!("{letter}{}", round + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::letter;

    #[test]
    fn letters_go_on_behind_z() {
        assert_eq!([0, 25, 26, 53].map(letter), ["A", "Z", "A2", "B3"]);
    }
}
