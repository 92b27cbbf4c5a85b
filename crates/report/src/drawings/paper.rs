//! One developed paper, to scale: start line, front of each lane, spots, expected ranges.

use crate::drawings::spread::spread;
use crate::drawings::{FULL_WIDTH, hatch};
use crate::palette::tint;
use crate::svg::{Drawing, Element, fitted, label, line, rect, text_width};
use crate::words::{decimals, limit};
use dyebook_documents::{Range, show_rf};

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
const LINE: f64 = 16.0;
/// Width drawn for a spot whose width isn't written.
const USUAL_SPOT_CM: f64 = 0.5;

/// Where cm lie in the drawing.
struct Scale {
    unit: f64,
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
            start_y: bottom - figure.baseline_cm * unit,
            bottom,
        }
    }

    fn x(&self, cm: f64) -> f64 {
        LEFT + cm * self.unit
    }

    /// Height above the start line.
    fn y(&self, cm: f64) -> f64 {
        self.start_y - cm * self.unit
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
        title: format!("Paper {} drawn to scale", figure.name),
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
    let mut cm = 0_u32;
    while scale.on_paper(f64::from(cm)) && cm < 100 {
        let y = scale.y(f64::from(cm));
        drawn.push(line("tick", (left - 7.0, y), (left, y)));
        if cm.is_multiple_of(2) {
            let at = (left - 11.0, y + 4.5);
            drawn.push(label("end quiet small", at, &cm.to_string()));
        }
        cm += 1;
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

fn lane_drawing(figure: &PaperFigure, lane: &LaneFigure, scale: &Scale) -> Element {
    let x = scale.x(lane.x_cm);
    let pitch = figure.pitch_cm * scale.unit;
    let first_front = lane.fronts_cm.first().copied();
    let mut group = Element::new("g");
    let top = first_front
        .filter(|front| scale.on_paper(*front))
        .map_or(TOP, |front| scale.y(front));
    group = group.child(&line("path", (x, scale.start_y), (x, top)));
    for &front in &lane.fronts_cm {
        group = group.children(front_drawing(x, pitch, front, scale));
    }
    if let Some(front) = first_front {
        group = group.children(bars(figure, lane, front, scale));
    } else {
        let at = (x, TOP + 14.0);
        group = group.child(&fitted("mid small", at, "no front", 12.0, pitch - 6.0));
    }
    group
        .children(lane.spots.iter().map(|spot| ellipse(x, spot, scale)))
        .children(spot_labels(x, pitch, lane, scale))
}

/// A thick stroke with the distance above it; an arrow where it lies off the paper.
fn front_drawing(x: f64, pitch: f64, front: f64, scale: &Scale) -> Vec<Element> {
    let text = format!("front {}", decimals(front, 2));
    if scale.on_paper(front) {
        let y = scale.y(front);
        let half = pitch * 0.42;
        vec![
            line("front", (x - half, y), (x + half, y)),
            fitted("mid small halo", (x, y - 6.0), &text, 12.0, pitch - 6.0),
        ]
    } else {
        let text = format!("front {} is off the paper", decimals(front, 2));
        vec![
            arrow(x, front, scale),
            fitted("mid small halo", (x, TOP + 30.0), &text, 12.0, pitch - 6.0),
        ]
    }
}

/// An arrow at the edge beyond which something lies.
fn arrow(x: f64, cm: f64, scale: &Scale) -> Element {
    let (tip, foot) = if cm > 0.0 {
        (TOP + 2.0, TOP + 15.0)
    } else {
        (scale.bottom - 2.0, scale.bottom - 15.0)
    };
    Element::new("path").class("beyond").set(
        "d",
        &format!(
            "M{x:.2} {tip:.2}L{:.2} {foot:.2}L{:.2} {foot:.2}Z",
            x - 7.0,
            x + 7.0
        ),
    )
}

/// Hatched bars at the right of the lane; bars that overlap stand side by side.
fn bars(figure: &PaperFigure, lane: &LaneFigure, front: f64, scale: &Scale) -> Vec<Element> {
    let pitch = figure.pitch_cm * scale.unit;
    let x = scale.x(lane.x_cm);
    let mut columns: Vec<Vec<Range>> = Vec::new();
    let mut placed = Vec::new();
    for bar in &lane.bars {
        let free = columns
            .iter()
            .position(|column| !column.iter().any(|taken| taken.overlaps(&bar.expected)));
        let column = free.unwrap_or(columns.len());
        if free.is_none() {
            columns.push(Vec::new());
        }
        columns[column].push(bar.expected);
        placed.push((column, bar));
    }
    // The bars share the right of the lane; they get narrower rather than leave it.
    let widest = lane.spots.iter().filter_map(|s| s.width_cm);
    let radius = widest.fold(USUAL_SPOT_CM, f64::max) * scale.unit / 2.0;
    let start = (radius + 5.0).clamp(pitch * 0.2, pitch * 0.3);
    let (room, gap) = (pitch * 0.48 - start, 2.0);
    let count = f64::from(u32::try_from(columns.len().max(1)).unwrap_or(u32::MAX));
    let width = (room / count - gap).clamp(4.0, 16.0);
    placed
        .into_iter()
        .flat_map(|(column, bar)| {
            let column = f64::from(u32::try_from(column).unwrap_or(u32::MAX));
            let left = x + start + column * (width + gap);
            bar_drawing(figure, bar, (left, width), front, scale)
        })
        .collect()
}

fn bar_drawing(
    figure: &PaperFigure,
    bar: &BarFigure,
    (left, width): (f64, f64),
    front: f64,
    scale: &Scale,
) -> Vec<Element> {
    let edge = |rf: f64| scale.y(rf * front).clamp(TOP, scale.bottom);
    let (upper, lower) = (edge(bar.expected.high), edge(bar.expected.low));
    if lower - upper < 0.5 {
        return Vec::new();
    }
    let fill = format!("url(#{})", hatch::hatch_id(&figure.id, bar.hatch));
    let middle = f64::midpoint(upper, lower);
    let half = text_width(&bar.letter, 12.0) / 2.0 + 2.0;
    vec![
        rect("bar", (left, upper), width, lower - upper).set("fill", &fill),
        rect(
            "badge",
            (left + width / 2.0 - half, middle - 7.5),
            half * 2.0,
            15.0,
        ),
        label(
            "mid small strong",
            (left + width / 2.0, middle + 4.5),
            &bar.letter,
        ),
    ]
}

/// The spot, as wide as written; a dashed outline where no width was written.
fn ellipse(x: f64, spot: &SpotFigure, scale: &Scale) -> Element {
    if !scale.on_paper(spot.distance_cm) {
        return arrow(x, spot.distance_cm, scale);
    }
    let width = spot.width_cm.unwrap_or(USUAL_SPOT_CM);
    let class = if spot.width_cm.is_some() {
        "spot"
    } else {
        "spot guessed"
    };
    let radius = (width * scale.unit / 2.0).max(2.0);
    Element::new("ellipse")
        .class(class)
        .at("cx", x)
        .at("cy", scale.y(spot.distance_cm))
        .at("rx", radius)
        .at("ry", radius * 0.8)
        .set("fill", tint(spot.colour.as_deref()))
}

/// Number on the spot; Rf and colour word at its left, moved apart where spots lie close.
fn spot_labels(x: f64, pitch: f64, lane: &LaneFigure, scale: &Scale) -> Vec<Element> {
    let mut spots: Vec<&SpotFigure> = lane.spots.iter().collect();
    spots.sort_by(|a, b| b.distance_cm.total_cmp(&a.distance_cm));
    let wanted: Vec<f64> = spots
        .iter()
        .map(|spot| {
            scale
                .y(spot.distance_cm)
                .clamp(TOP + 22.0, scale.bottom - 14.0)
        })
        .collect();
    let placed = spread(&wanted, 28.0, (TOP + 12.0, scale.bottom - 14.0));
    let mut drawn = Vec::new();
    for ((spot, wanted), y) in spots.into_iter().zip(wanted).zip(placed) {
        let radius = spot.width_cm.unwrap_or(USUAL_SPOT_CM) * scale.unit / 2.0;
        let edge = x - radius.min(pitch * 0.22) - 4.0;
        let room = pitch * 0.58 - radius.min(pitch * 0.22) - 4.0;
        let rf = match spot.rf {
            Some(rf) if scale.on_paper(spot.distance_cm) => show_rf(rf),
            _ => format!("{} cm", decimals(spot.distance_cm, 2)),
        };
        drawn.push(fitted("end halo strong", (edge, y - 1.5), &rf, FONT, room));
        if let Some(colour) = &spot.colour {
            drawn.push(fitted(
                "end halo small",
                (edge, y + 11.5),
                &short(colour, 10),
                12.0,
                room,
            ));
        }
        if (y - wanted).abs() > 6.0 {
            drawn.push(line("leader", (edge + 1.0, y - 4.0), (x - 3.0, wanted)));
        }
        if scale.on_paper(spot.distance_cm) {
            let at = (x, scale.y(spot.distance_cm) + 4.5);
            drawn.push(label("mid halo small strong", at, &spot.number.to_string()));
        }
    }
    drawn
}

/// Below the paper: lane, role, label, and which letter is which dye. Returns how far it reaches.
fn foot(figure: &PaperFigure, lane: &LaneFigure, scale: &Scale) -> (Element, f64) {
    let x = scale.x(lane.x_cm);
    let room = figure.pitch_cm * scale.unit - 8.0;
    let mut lines: Vec<(&str, String)> = vec![
        ("mid strong", format!("Lane {}", lane.number)),
        ("mid small quiet", lane.role.to_owned()),
    ];
    lines.extend(wrapped(&lane.label, room).into_iter().map(|l| ("mid", l)));
    for bar in &lane.bars {
        let name = format!("{}: {}", bar.letter, bar.name);
        lines.extend(wrapped(&name, room).into_iter().map(|l| ("mid small", l)));
        let range = format!(
            "{} to {}",
            limit(bar.expected.low),
            limit(bar.expected.high)
        );
        lines.push(("mid small quiet", range));
    }
    let mut y = scale.bottom + 20.0;
    let mut group = Element::new("g");
    for (class, text) in lines {
        group = group.child(&fitted(class, (x, y), &text, FONT, room));
        y += LINE;
    }
    (group, y - LINE + 6.0)
}

/// Words in lines no wider than the room, three lines at most.
fn wrapped(text: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(last) if text_width(&format!("{last} {word}"), FONT) <= room => {
                last.push(' ');
                last.push_str(word);
            }
            _ => lines.push(short(word, 18)),
        }
    }
    if lines.len() > 3 {
        lines.truncate(3);
        if let Some(last) = lines.last_mut() {
            last.push('…');
        }
    }
    lines
}

/// A text cut to so many letters; the table holds all of it.
fn short(text: &str, letters: usize) -> String {
    if text.chars().count() <= letters {
        text.to_owned()
    } else {
        text.chars().take(letters - 1).chain(['…']).collect()
    }
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
