//! Each dye from its Rf in one developing solvent to its Rf in the next.

use crate::documents::solvent_comparison::{SolventComparison, letter};
use crate::drawings::axis::Axis;
use crate::drawings::marker::{Shape, marker};
use crate::drawings::spread::spread;
use crate::svg::{Drawing, Element, fitted, label, line};
use crate::words::list_with;
use dyebook_documents::show_rf;

/// Room for the names beside the first and the last axis.
const SIDE: f64 = 250.0;
const LEFT: f64 = SIDE;
const TOP: f64 = 46.0;
const BOTTOM: f64 = 546.0;
const GAP: f64 = 17.0;

/// Draws the chart: an upright axis for each version, names beside the first and the last.
pub(crate) fn slope_chart(comparison: &SolventComparison) -> Drawing {
    let rf = Axis {
        from: (0.0, BOTTOM),
        to: (1.0, TOP),
    };
    let places = places(comparison.methods.len());
    let right = places.last().copied().unwrap_or(LEFT);
    let mut body = Vec::new();
    for (index, (x, method)) in places.iter().zip(&comparison.methods).enumerate() {
        body.push(line("tick", (*x, TOP), (*x, BOTTOM)));
        let name = format!("{}: {}", letter(index), method.method);
        // Names of neighbours stand at two heights, so that long ones don't run into each other.
        let up = if index % 2 == 0 { 24.0 } else { 8.0 };
        let up = if places.len() > 2 { up } else { 24.0 };
        body.push(fitted("mid strong", (*x, TOP - up), &name, 13.0, 340.0));
    }
    for tenth in 0..=10 {
        let y = rf.at(f64::from(tenth) / 10.0);
        body.push(line("grid", (LEFT, y), (right, y)));
    }
    let middle = f64::midpoint(LEFT, right);
    if places.len() == 2 {
        body.push(label("mid small quiet", (middle, TOP - 6.0), "Rf 1"));
    }
    body.push(label(
        "mid small quiet",
        (middle, BOTTOM + 18.0),
        "Rf 0; one line a tenth",
    ));
    for (index, dye) in comparison.dyes.iter().enumerate() {
        let at: Vec<_> = places.iter().zip(&dye.rf).collect();
        for ends in at.windows(2) {
            if let [(from, Some(a)), (to, Some(b))] = ends {
                body.push(line("curve", (**from, rf.at(*a)), (**to, rf.at(*b))));
            }
        }
        for (x, value) in at {
            if let Some(value) = value {
                body.push(marker(Shape::of(index), "point", (*x, rf.at(*value)), 5.0));
            }
        }
    }
    body.extend(labels(comparison, &rf, LEFT, true));
    body.extend(labels(comparison, &rf, right, false));
    let names: Vec<String> = comparison
        .methods
        .iter()
        .map(|one| one.method.clone())
        .collect();
    Drawing {
        id: "slope-chart".to_owned(),
        title: format!("Rf in {}", list_with(&names, "and")),
        description: format!(
            "{} dyes, each with its Rf from A at the left to {} at the right. The table that \
             follows holds every value.",
            comparison.dyes.len(),
            letter(comparison.methods.len().saturating_sub(1))
        ),
        width: right + SIDE,
        height: BOTTOM + 34.0,
        body,
    }
}

/// Where the axes stand: two far apart, more of them nearer to each other.
fn places(methods: usize) -> Vec<f64> {
    let step = if methods > 2 { 210.0 } else { 360.0 };
    let mut places = Vec::with_capacity(methods);
    let mut x = LEFT;
    for _ in 0..methods {
        places.push(x);
        x += step;
    }
    places
}

/// Names with values beside an axis, moved apart where they lie close.
fn labels(comparison: &SolventComparison, rf: &Axis, axis: f64, left: bool) -> Vec<Element> {
    let mut named: Vec<(f64, String)> = comparison
        .dyes
        .iter()
        .filter_map(|dye| {
            let value = if left { dye.rf.first() } else { dye.rf.last() };
            let value = value.copied().flatten()?;
            let text = if left {
                format!("{} {}", dye.dye, show_rf(value))
            } else {
                format!("{} {}", show_rf(value), dye.dye)
            };
            Some((rf.at(value), text))
        })
        .collect();
    named.sort_by(|one, other| one.0.total_cmp(&other.0));
    let wanted: Vec<f64> = named.iter().map(|(y, _)| *y).collect();
    let placed = spread(&wanted, GAP, (TOP, BOTTOM + 6.0));
    named
        .into_iter()
        .zip(placed)
        .flat_map(|((from, text), y)| {
            let (near, far, anchor) = if left {
                (axis - 8.0, axis - 30.0, "end")
            } else {
                (axis + 8.0, axis + 30.0, "")
            };
            let at = if left { far - 5.0 } else { far + 5.0 };
            [
                line("leader", (near, from), (far, y)),
                fitted(anchor, (at, y + 4.5), &text, 13.0, 210.0),
            ]
        })
        .collect()
}
