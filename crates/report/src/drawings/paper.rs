//! One developed paper, to scale: start line, front of each lane, spots, expected ranges.

mod foot;
mod lane;

use crate::drawings::axis::round_step;
use crate::drawings::{FULL_WIDTH, hatch};
use crate::svg::{Drawing, Element, label, line, rect};
use crate::words::decimals;
use dyebook_documents::Range;
use foot::foot;
use lane::lane_drawing;

/// One paper as it is drawn. Lengths in cm; heights from the start line.
#[derive(Debug, Clone)]
pub(crate) struct PaperFigure {
    /// Identifier, unique in the page.
    pub(crate) id: String,
    /// Name of the paper.
    pub(crate) name: String,
    /// Width of the paper.
    pub(crate) width_cm: f64,
    /// Height of the paper.
    pub(crate) height_cm: f64,
    /// Start line above the lower edge.
    pub(crate) baseline_cm: f64,
    /// Distance between lanes.
    pub(crate) pitch_cm: f64,
    /// How much shorter heights are drawn than they were written; 1 is to scale, less where what
    /// was written can't be right for the paper.
    pub(crate) shrink: f64,
    /// The lanes.
    pub(crate) lanes: Vec<LaneFigure>,
}

/// One lane.
#[derive(Debug, Clone)]
pub(crate) struct LaneFigure {
    /// Lane number.
    pub(crate) number: u32,
    /// What it holds, in a word.
    pub(crate) role: &'static str,
    /// Its label.
    pub(crate) label: String,
    /// Its centre from the paper's left edge.
    pub(crate) x_cm: f64,
    /// Its fronts; one, unless the rows of the sheet disagree.
    pub(crate) fronts_cm: Vec<f64>,
    /// Its spots.
    pub(crate) spots: Vec<SpotFigure>,
    /// Expected ranges to show.
    pub(crate) bars: Vec<BarFigure>,
}

/// One spot.
#[derive(Debug, Clone)]
pub(crate) struct SpotFigure {
    /// Number in the lane.
    pub(crate) number: u32,
    /// Its centre.
    pub(crate) distance_cm: f64,
    /// Its width, where written.
    pub(crate) width_cm: Option<f64>,
    /// Its Rf.
    pub(crate) rf: Option<f64>,
    /// Its colour, as written.
    pub(crate) colour: Option<String>,
}

impl SpotFigure {
    fn drawn_width(&self) -> f64 {
        self.width_cm.unwrap_or(USUAL_SPOT_CM)
    }
}

/// The expected range of one candidate.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct BarFigure {
    /// Letter on the bar.
    pub(crate) letter: String,
    /// Which hatching.
    pub(crate) hatch: usize,
    /// Name of the dye or pair.
    pub(crate) name: String,
    /// The range of Rf.
    pub(crate) expected: Range,
}

const LEFT: f64 = 52.0;
const RIGHT: f64 = 8.0;
const TOP: f64 = 26.0;
const FONT: f64 = 13.0;
/// Width drawn for a spot whose width isn't written.
const USUAL_SPOT_CM: f64 = 0.5;

/// Where cm lie in the drawing.
struct Scale {
    unit: f64,
    shrink: f64,
    start_y: f64,
    bottom: f64,
}

impl Scale {
    fn of(figure: &PaperFigure) -> Self {
        // As large as the page allows, but lanes no wider than their text needs and no paper
        // taller than a printed page.
        let unit = ((FULL_WIDTH - LEFT - RIGHT) / figure.width_cm)
            .min(900.0 / figure.height_cm)
            .min(130.0 / figure.pitch_cm);
        let bottom = TOP + figure.height_cm * unit;
        Self {
            unit,
            shrink: figure.shrink,
            start_y: bottom - figure.baseline_cm * unit,
            bottom,
        }
    }

    fn x(&self, cm: f64) -> f64 {
        LEFT + cm * self.unit
    }

    /// Height above the start line.
    fn y(&self, cm: f64) -> f64 {
        self.start_y - cm * self.shrink * self.unit
    }

    fn on_paper(&self, cm: f64) -> bool {
        (TOP..=self.bottom).contains(&self.y(cm))
    }
}

/// Draws one paper.
pub(crate) fn paper_drawing(figure: &PaperFigure, description: String) -> Drawing {
    let scale = Scale::of(figure);
    let width = LEFT + figure.width_cm * scale.unit + RIGHT;
    let used = figure
        .lanes
        .iter()
        .flat_map(|lane| lane.bars.iter().map(|bar| bar.hatch));
    let mut body = vec![hatch::definitions(&figure.id, used)];
    body.extend(ground(figure, &scale));
    body.extend(joints(figure, &scale));
    let mut height = scale.bottom;
    for lane in &figure.lanes {
        body.push(lane_drawing(figure, lane, &scale));
        let (foot, below) = foot(figure, lane, &scale);
        body.push(foot);
        height = height.max(below);
    }
    Drawing {
        id: figure.id.clone(),
        title: if figure.shrink < 1.0 {
            format!("Paper {}, heights not to scale", figure.name)
        } else {
            format!("Paper {} drawn to scale", figure.name)
        },
        description,
        width,
        height: height + 6.0,
        body,
    }
}

/// The paper, the start line and the ruler at its left.
fn ground(figure: &PaperFigure, scale: &Scale) -> Vec<Element> {
    let (left, right) = (scale.x(0.0), scale.x(figure.width_cm));
    let mut drawn = vec![
        rect(
            "sheet",
            (left, TOP),
            right - left,
            figure.height_cm * scale.unit,
        ),
        label("end quiet small", (left - 8.0, TOP - 10.0), "cm"),
    ];
    // Numbers at every second tick; about a tick a cm where the drawing is to scale.
    let step = round_step(1.0 / figure.shrink);
    for n in 0..100_u32 {
        let cm = f64::from(n) * step;
        if !scale.on_paper(cm) {
            break;
        }
        let y = scale.y(cm);
        drawn.push(line("tick", (left - 7.0, y), (left, y)));
        if n.is_multiple_of(2) {
            let at = (left - 11.0, y + 4.5);
            drawn.push(label("end quiet small", at, &decimals(cm, 0)));
        }
    }
    let y = scale.start_y;
    drawn.push(line("start", (left, y), (right, y)));
    drawn.push(label("small quiet", (left + 5.0, y + 14.0), "start line"));
    drawn
}

/// Dotted lines from front to front, so that a tilt is seen.
fn joints(figure: &PaperFigure, scale: &Scale) -> Vec<Element> {
    let fronts: Vec<(f64, f64)> = figure
        .lanes
        .iter()
        .filter_map(|lane| Some((scale.x(lane.x_cm), *lane.fronts_cm.first()?)))
        .filter(|(_, front)| scale.on_paper(*front))
        .map(|(x, front)| (x, scale.y(front)))
        .collect();
    fronts
        .windows(2)
        .filter_map(|pair| match pair {
            [from, to] => Some(line("joint", *from, *to)),
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{BarFigure, LaneFigure, PaperFigure, SpotFigure, paper_drawing};
    use dyebook_documents::Range;

    fn bar(letter: &str, low: f64, high: f64) -> BarFigure {
        BarFigure {
            letter: letter.into(),
            hatch: 0,
            name: "Allura Red AC".into(),
            expected: Range { low, high },
        }
    }

    fn figure(distance_cm: f64, bars: Vec<BarFigure>) -> PaperFigure {
        PaperFigure {
            id: "p".into(),
            name: "1".into(),
            width_cm: 10.0,
            height_cm: 12.0,
            baseline_cm: 1.5,
            pitch_cm: 2.0,
            shrink: 1.0,
            lanes: vec![LaneFigure {
                number: 1,
                role: "sample",
                label: "U1".into(),
                x_cm: 5.0,
                fronts_cm: vec![8.0],
                spots: vec![SpotFigure {
                    number: 1,
                    distance_cm,
                    width_cm: Some(0.6),
                    rf: Some(distance_cm / 8.0),
                    colour: Some("red".into()),
                }],
                bars,
            }],
        }
    }

    /// Numbers of an attribute in all elements of a class.
    fn numbers(svg: &str, class: &str, attribute: &str) -> Vec<f64> {
        svg.lines()
            .flat_map(|line| line.split('<'))
            .filter(|element| element.contains(&format!("class=\"{class}\"")))
            .map(|element| {
                let (_, behind) = element.split_once(&format!(" {attribute}=\"")).unwrap();
                behind.split_once('"').unwrap().0.parse().unwrap()
            })
            .collect()
    }

    #[test]
    fn heights_are_to_scale() {
        let svg = paper_drawing(&figure(4.0, vec![bar("A", 0.4, 0.6)]), String::new()).inline();
        let unit = numbers(&svg, "sheet", "height")[0] / 12.0;
        assert!((numbers(&svg, "sheet", "width")[0] / 10.0 - unit).abs() < 0.01);
        let start = numbers(&svg, "start", "y1")[0];
        let above = |y: f64| (start - y) / unit;
        let lower_edge = numbers(&svg, "sheet", "y")[0] + 12.0 * unit;
        assert!((above(lower_edge) + 1.5).abs() < 0.001);
        assert!((above(numbers(&svg, "front", "y1")[0]) - 8.0).abs() < 0.001);
        assert!((above(numbers(&svg, "spot", "cy")[0]) - 4.0).abs() < 0.001);
        assert!((numbers(&svg, "spot", "rx")[0] / unit - 0.3).abs() < 0.001);
        let (top, height) = (
            numbers(&svg, "bar", "y")[0],
            numbers(&svg, "bar", "height")[0],
        );
        assert!((above(top) / 8.0 - 0.6).abs() < 0.001, "{}", above(top));
        assert!((above(top + height) / 8.0 - 0.4).abs() < 0.001);
    }

    #[test]
    fn heights_that_can_not_be_right_are_shrunk_and_keep_their_rf() {
        let mut shrunk = figure(40.0, vec![]);
        shrunk.lanes[0].fronts_cm = vec![80.0];
        shrunk.shrink = 0.1;
        let drawing = paper_drawing(&shrunk, String::new());
        assert!(drawing.title.contains("not to scale"));
        let svg = drawing.inline();
        let start = numbers(&svg, "start", "y1")[0];
        let above = |y: f64| start - y;
        let front = above(numbers(&svg, "front", "y1")[0]);
        assert!((above(numbers(&svg, "spot", "cy")[0]) / front - 0.5).abs() < 0.001);
        assert!(svg.contains(">80</text>"), "the ruler counts as written");
    }

    #[test]
    fn overlapping_bars_stand_side_by_side() {
        let bars = vec![bar("A", 0.4, 0.6), bar("B", 0.5, 0.7), bar("C", 0.1, 0.2)];
        let svg = paper_drawing(&figure(4.0, bars), String::new()).inline();
        let (left, width) = (numbers(&svg, "bar", "x"), numbers(&svg, "bar", "width"));
        assert!(left[0] + width[0] <= left[1], "{left:?}");
        assert!((left[2] - left[0]).abs() < 0.01, "{left:?}");
    }

    #[test]
    fn what_lies_off_the_paper_is_an_arrow_with_its_distance() {
        let svg = paper_drawing(&figure(75.0, vec![]), String::new()).inline();
        assert!(svg.contains("class=\"beyond\"") && svg.contains("75.00 cm"));
        assert!(!svg.contains("<ellipse"));
    }
}
