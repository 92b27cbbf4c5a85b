//! Share of right answers against stated probability.

use crate::documents::strategy_comparison::CalibrationSeries;
use crate::drawings::axis::Axis;
use crate::drawings::marker::{Shape, marker};
use crate::svg::{Drawing, label, line, rect};

const SIDE: f64 = 440.0;
const LEFT: f64 = 66.0;
const TOP: f64 = 16.0;

/// Draws the plot; `id` tells it from others on its page.
pub(crate) fn calibration_plot(id: &str, calibration: &[CalibrationSeries]) -> Drawing {
    let (right, bottom) = (LEFT + SIDE, TOP + SIDE);
    let stated = Axis {
        from: (0.0, LEFT),
        to: (1.0, right),
    };
    let share = Axis {
        from: (0.0, bottom),
        to: (1.0, TOP),
    };
    let mut body = share.level_grid(LEFT, right);
    body.extend(stated.upright_grid(TOP, bottom));
    body.push(rect("frame", (LEFT, TOP), SIDE, SIDE));
    body.push(line("warning", (LEFT, bottom), (right, TOP)));
    for (index, series) in calibration.iter().enumerate() {
        for bin in series.bins.iter().filter(|bin| bin.count > 0) {
            let (x, y) = (stated.at(bin.mean_stated), share.at(bin.share_right));
            if let Some(interval) = bin.interval {
                let ends = (share.at(interval.low), share.at(interval.high));
                body.push(line("tick", (x, ends.0), (x, ends.1)));
            }
            body.push(marker(Shape::of(index), "point", (x, y), 6.0));
        }
        let row = TOP + 26.0 + 24.0 * f64::from(u32::try_from(index).unwrap_or(0));
        body.push(marker(Shape::of(index), "point", (right + 24.0, row), 6.0));
        body.push(label("", (right + 40.0, row + 4.5), &series.strategy));
    }
    body.push(label(
        "mid",
        (LEFT + SIDE / 2.0, bottom + 40.0),
        "stated probability",
    ));
    body.push(
        label("mid", (18.0, TOP + SIDE / 2.0), "share of right answers").set(
            "transform",
            &format!("rotate(-90 18 {:.2})", TOP + SIDE / 2.0),
        ),
    );
    Drawing {
        id: id.to_owned(),
        title: "Share of right answers against stated probability".to_owned(),
        description: format!(
            "{} strategies, one mark for each bin of stated probability. The table that follows \
             holds every number.",
            calibration.len()
        ),
        width: right + 220.0,
        height: bottom + 52.0,
        body,
    }
}
