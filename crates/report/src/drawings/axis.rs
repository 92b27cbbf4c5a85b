//! Numbers along a line of the drawing.

use crate::svg::{Element, label, line};
use crate::words::decimals;

/// From numbers to places in the drawing.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Axis {
    /// First number and where it lies.
    pub(crate) from: (f64, f64),
    /// Last number and where it lies.
    pub(crate) to: (f64, f64),
}

impl Axis {
    /// Where a number lies.
    pub(crate) fn at(&self, value: f64) -> f64 {
        let ((v0, p0), (v1, p1)) = (self.from, self.to);
        p0 + (value - v0) / (v1 - v0) * (p1 - p0)
    }

    /// Round numbers on the axis, four to seven, with the decimals that they need.
    pub(crate) fn ticks(&self) -> (Vec<f64>, u32) {
        let (low, high) = (self.from.0, self.to.0);
        let wanted = (high - low) / 6.0;
        let step = round_step(wanted);
        let places = (0..6u32)
            .find(|places| {
                let scaled = step * 10f64.powi(i32::try_from(*places).unwrap_or(6));
                (scaled - scaled.round()).abs() < 1e-9 * scaled.max(1.0)
            })
            .unwrap_or(6);
        let first = (low / step - 1e-9).ceil();
        let ticks = (0..40u32)
            .map(|n| (first + f64::from(n)) * step)
            .take_while(|tick| *tick <= high + step * 1e-9)
            .collect();
        (ticks, places)
    }

    /// Level grid lines with their numbers at the left.
    pub(crate) fn level_grid(&self, left: f64, right: f64) -> Vec<Element> {
        let (ticks, places) = self.ticks();
        ticks
            .into_iter()
            .flat_map(|tick| {
                let y = self.at(tick);
                [
                    line("grid", (left, y), (right, y)),
                    label(
                        "end small quiet",
                        (left - 8.0, y + 4.5),
                        &decimals(tick, places),
                    ),
                ]
            })
            .collect()
    }

    /// Upright grid lines with their numbers below.
    pub(crate) fn upright_grid(&self, top: f64, bottom: f64) -> Vec<Element> {
        let (ticks, places) = self.ticks();
        ticks
            .into_iter()
            .flat_map(|tick| {
                let x = self.at(tick);
                [
                    line("grid", (x, top), (x, bottom)),
                    label(
                        "mid small quiet",
                        (x, bottom + 17.0),
                        &decimals(tick, places),
                    ),
                ]
            })
            .collect()
    }
}

/// The least of 1, 2, 5, 10, 20 … and their tenths that is not below `wanted`, but for rounding.
pub(crate) fn round_step(wanted: f64) -> f64 {
    let power = 10f64.powf(wanted.log10().floor());
    [1.0, 2.0, 5.0]
        .into_iter()
        .map(|times| times * power)
        .find(|step| *step >= wanted * 0.999)
        .unwrap_or(power * 10.0)
}

/// The ends of an axis that holds all these numbers with a little room; at least `least` wide.
pub(crate) fn ends(values: impl IntoIterator<Item = f64>, least: f64) -> (f64, f64) {
    let (low, high) = values
        .into_iter()
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    if low > high {
        return (0.0, 1.0);
    }
    let room = ((high - low) * 0.08).max((least - (high - low)) / 2.0);
    (low - room, high + room)
}

#[cfg(test)]
mod tests {
    use super::{Axis, ends};

    #[test]
    fn ticks_are_round_and_inside() {
        let axis = Axis {
            from: (0.36, 100.0),
            to: (0.47, 0.0),
        };
        let (ticks, places) = axis.ticks();
        assert_eq!(places, 2);
        let expected = [0.36, 0.38, 0.4, 0.42, 0.44, 0.46];
        for (tick, wanted) in ticks.iter().zip(expected) {
            assert!((tick - wanted).abs() < 1e-9, "{ticks:?}");
        }
        assert_eq!(ticks.len(), 6);
    }

    #[test]
    fn a_single_value_still_has_an_axis() {
        let (low, high) = ends([0.4], 0.1);
        assert!((high - low - 0.1).abs() < 1e-12);
        assert_eq!(ends([], 0.1), (0.0, 1.0));
    }
}
