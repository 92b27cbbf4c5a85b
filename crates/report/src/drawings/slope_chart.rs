//! Each dye from its Rf in one developing solvent to its Rf in another.

use crate::documents::solvent_comparison::SolventComparison;
use crate::drawings::axis::Axis;
use crate::drawings::marker::{Shape, marker};
use crate::drawings::spread::spread;
use crate::svg::{Drawing, Element, fitted, label, line};
use dyebook_documents::show_rf;

const WIDTH: f64 = 860.0;
const LEFT: f64 = 250.0;
const RIGHT: f64 = WIDTH - 250.0;
const TOP: f64 = 46.0;
const BOTTOM: f64 = 546.0;
const GAP: f64 = 17.0;

/// Draws the chart.
pub(crate) fn slope_chart(comparison: &SolventComparison) -> Drawing {
    let rf = Axis {
        from: (0.0, BOTTOM),
        to: (1.0, TOP),
    };
    let mut body = Vec::new();
    for (x, letter, method) in [
        (LEFT, "A", &comparison.a.method),
        (RIGHT, "B", &comparison.b.method),
    ] {
        body.push(line("tick", (x, TOP), (x, BOTTOM)));
        let name = format!("{letter}: {method}");
        body.push(fitted("mid strong", (x, TOP - 24.0), &name, 13.0, 340.0));
    }
    for tenth in 0..=10 {
        let y = rf.at(f64::from(tenth) / 10.0);
        body.push(line("grid", (LEFT, y), (RIGHT, y)));
    }
    body.push(label(
        "mid small quiet",
        (f64::midpoint(LEFT, RIGHT), TOP - 6.0),
        "Rf 1",
    ));
    body.push(label(
        "mid small quiet",
        (f64::midpoint(LEFT, RIGHT), BOTTOM + 18.0),
        "Rf 0; one line a tenth",
    ));
    for (index, dye) in comparison.dyes.iter().enumerate() {
        if let (Some(a), Some(b)) = (dye.a, dye.b) {
            body.push(line("curve", (LEFT, rf.at(a)), (RIGHT, rf.at(b))));
        }
        for (x, value) in [(LEFT, dye.a), (RIGHT, dye.b)] {
            if let Some(value) = value {
                body.push(marker(Shape::of(index), "point", (x, rf.at(value)), 5.0));
            }
        }
    }
    body.extend(labels(comparison, &rf, true));
    body.extend(labels(comparison, &rf, false));
    Drawing {
        id: "slope-chart".to_owned(),
        title: format!("Rf from {} to {}", comparison.a.method, comparison.b.method),
        description: format!(
            "{} dyes, each with its Rf in A at the left and in B at the right. The table that \
             follows holds every value.",
            comparison.dyes.len()
        ),
        width: WIDTH,
        height: BOTTOM + 34.0,
        body,
    }
}

/// Names with values beside an axis, moved apart where they lie close.
fn labels(comparison: &SolventComparison, rf: &Axis, left: bool) -> Vec<Element> {
    let mut named: Vec<(f64, String)> = comparison
        .dyes
        .iter()
        .filter_map(|dye| {
            let value = if left { dye.a } else { dye.b }?;
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
                (LEFT - 8.0, LEFT - 30.0, "end")
            } else {
                (RIGHT + 8.0, RIGHT + 30.0, "")
            };
            let at = if left { far - 5.0 } else { far + 5.0 };
            [
                line("leader", (near, from), (far, y)),
                fitted(anchor, (at, y + 4.5), &text, 13.0, 210.0),
            ]
        })
        .collect()
}
