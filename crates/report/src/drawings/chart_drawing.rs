//! A control chart: values in order of time with centre, limits and version breaks.

use crate::documents::control_chart::{ChartSegment, ControlChart, Zone};
use crate::drawings::FULL_WIDTH;
use crate::drawings::axis::{Axis, ends};
use crate::drawings::marker::{Shape, marker};
use crate::svg::{Drawing, Element, fitted, label, line};
use crate::words::decimals;

const TOP: f64 = 40.0;
const BOTTOM: f64 = 360.0;
const HEIGHT: f64 = 452.0;
const LEFT: f64 = 62.0;
const RIGHT: f64 = FULL_WIDTH - 78.0;

/// Draws the chart.
pub(crate) fn chart_drawing(chart: &ControlChart) -> Drawing {
    let (low, high) = ends(
        chart.segments.iter().flat_map(|segment| {
            let limits = [segment.action.low, segment.action.high];
            limits
                .into_iter()
                .chain(segment.points.iter().map(|point| point.value))
        }),
        0.02,
    );
    let values = Axis {
        from: (low, BOTTOM),
        to: (high, TOP),
    };
    let slots: usize = chart.segments.iter().map(|s| s.points.len().max(1)).sum();
    let slot = (RIGHT - LEFT) / to_float(slots.max(1));
    // Dates that would lie on each other are thinned; the table has all of them.
    let every = (46.0 / slot).ceil().max(1.0);
    let mut body = values.level_grid(LEFT, RIGHT);
    body.push(label("end small quiet", (LEFT - 8.0, TOP - 14.0), "Rf"));
    let mut from = LEFT;
    for (index, segment) in chart.segments.iter().enumerate() {
        let to = from + slot * to_float(segment.points.len().max(1));
        if index > 0 {
            body.push(line("break", (from, TOP - 26.0), (from, BOTTOM)));
        }
        let name = format!("version {}", segment.version);
        body.push(fitted(
            "strong",
            (from + 6.0, TOP - 14.0),
            &name,
            13.0,
            to - from - 8.0,
        ));
        let last = index + 1 == chart.segments.len();
        body.extend(limits(segment, &values, from, to, last));
        body.extend(points(segment, &values, from, slot, every));
        from = to;
    }
    Drawing {
        id: "control-chart".to_owned(),
        title: format!("Control chart of {} in {}", chart.dye, chart.method),
        description: format!(
            "Control values in order of time with centre, warning and action limits, broken at \
             {} changes of version. The table that follows holds every value.",
            chart.segments.len().saturating_sub(1)
        ),
        width: FULL_WIDTH,
        height: HEIGHT,
        body,
    }
}

fn limits(segment: &ChartSegment, values: &Axis, from: f64, to: f64, named: bool) -> Vec<Element> {
    let lines = [
        ("action", segment.action.high, "action"),
        ("warning", segment.warning.high, "warning"),
        ("centre", segment.centre, "centre"),
        ("warning", segment.warning.low, "warning"),
        ("action", segment.action.low, "action"),
    ];
    lines
        .into_iter()
        .flat_map(|(class, value, name)| {
            let y = values.at(value);
            let drawn = line(class, (from, y), (to, y));
            let name = named.then(|| label("small", (to + 6.0, y + 4.5), name));
            std::iter::once(drawn).chain(name)
        })
        .collect()
}

fn points(segment: &ChartSegment, values: &Axis, from: f64, slot: f64, every: f64) -> Vec<Element> {
    let places: Vec<(f64, f64)> = segment
        .points
        .iter()
        .enumerate()
        .map(|(index, point)| {
            (
                from + slot * (to_float(index) + 0.5),
                values.at(point.value),
            )
        })
        .collect();
    let joins = places.windows(2).filter_map(|pair| match pair {
        [one, next] => Some(line("leader", *one, *next)),
        _ => None,
    });
    let mut drawn: Vec<Element> = joins.collect();
    for (index, (point, &(x, y))) in segment.points.iter().zip(&places).enumerate() {
        if point.flagged {
            drawn.push(marker(Shape::Circle, "curve", (x, y), 10.0));
        }
        let (shape, class) = match segment.zone(point.value) {
            Zone::Inside => (Shape::Circle, "point"),
            Zone::BeyondWarning => (Shape::Square, "full"),
            Zone::BeyondAction => (Shape::Triangle, "full"),
        };
        drawn.push(marker(shape, class, (x, y), 5.0));
        if to_float(index) % every < 0.5 {
            drawn.push(line("tick", (x, BOTTOM), (x, BOTTOM + 5.0)));
            drawn.push(slanted((x, BOTTOM + 18.0), &point.date));
        }
        if segment.zone(point.value) == Zone::BeyondAction {
            let text = decimals(point.value, 3);
            drawn.push(label("mid small strong halo", (x, y - 12.0), &text));
        }
    }
    drawn
}

/// A date that leans, so that neighbours don't meet.
fn slanted((x, y): (f64, f64), text: &str) -> Element {
    label("end small quiet", (x + 4.0, y), text)
        .set("transform", &format!("rotate(-45 {:.2} {y:.2})", x + 4.0))
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a chart has far fewer values than 2^52"
)]
fn to_float(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    use super::chart_drawing;
    use crate::documents::control_chart::{ChartPoint, ChartSegment, ControlChart};
    use dyebook_documents::Range;

    fn chart() -> ControlChart {
        let point = |value| ChartPoint {
            date: "2026-10-06".into(),
            session: "Tue-A".into(),
            value,
            note: String::new(),
            flagged: false,
        };
        let segment = |version: &str, centre: f64, values: &[f64]| ChartSegment {
            version: version.into(),
            digest: String::new(),
            centre,
            warning: Range {
                low: centre - 0.02,
                high: centre + 0.02,
            },
            action: Range {
                low: centre - 0.03,
                high: centre + 0.03,
            },
            limits_from: String::new(),
            points: values.iter().copied().map(point).collect(),
        };
        ControlChart {
            dye: "Allura Red AC".into(),
            method: "saline-paper".into(),
            segments: vec![
                segment("1.0.0", 0.40, &[0.40, 0.425, 0.44]),
                segment("1.1.0", 0.41, &[]),
            ],
            findings: vec![],
            demo: true,
            program: String::new(),
        }
    }

    #[test]
    fn shapes_say_which_limit_was_passed() {
        let svg = chart_drawing(&chart()).inline();
        assert_eq!(svg.matches("class=\"point\"").count(), 1, "one inside");
        assert_eq!(
            svg.matches("<rect class=\"full\"").count(),
            1,
            "one beyond warning"
        );
        assert_eq!(
            svg.matches("<path class=\"full\"").count(),
            1,
            "one beyond action"
        );
        assert_eq!(svg.matches("class=\"break\"").count(), 1);
        assert_eq!(svg.matches("class=\"action\"").count(), 4);
    }
}
