//! One lane: front, expected ranges, spots and their labels.

use super::foot::short;
use super::{BarFigure, FONT, LaneFigure, PaperFigure, Scale, SpotFigure, TOP, USUAL_SPOT_CM};
use crate::drawings::hatch;
use crate::drawings::spread::spread;
use crate::palette::tint;
use crate::svg::{Element, fitted, label, line, rect, text_width};
use crate::words::decimals;
use dyebook_documents::{Range, show_rf};

/// Draws a lane on its paper.
pub(super) fn lane_drawing(figure: &PaperFigure, lane: &LaneFigure, scale: &Scale) -> Element {
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
    // Large spots first, so that no small one is hidden.
    let mut spots: Vec<&SpotFigure> = lane.spots.iter().collect();
    spots.sort_by(|a, b| b.drawn_width().total_cmp(&a.drawn_width()));
    group
        .children(spots.into_iter().map(|spot| ellipse(x, spot, scale)))
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
    let widest = lane.spots.iter().map(SpotFigure::drawn_width);
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
    let width = spot.drawn_width();
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
        let radius = spot.drawn_width() * scale.unit / 2.0;
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
