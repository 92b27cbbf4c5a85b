//! One distance in another unit.

use super::diagnosis::CLEARLY;
use super::model::{Fit, Model, Remedy};
use super::standards::Standards;

/// One distance read on the other side of the ruler, or with its decimal point misplaced.
pub(crate) const MODEL: Model = Model {
    id: "value-in-other-unit",
    why: "One distance in inches or mm, or with its decimal point misplaced.",
    habit: false,
    fit,
};

/// Factors on the distance: the decimal point either way, and an inch (25.4 mm) either way.
const FACTORS: [f64; 4] = [0.1, 10.0, 2.54, 1.0 / 2.54];

#[expect(clippy::cast_precision_loss, reason = "a paper has few lanes")]
fn fit(standards: &Standards<'_>) -> Option<Fit> {
    let count = standards.len();
    let cost = ((count * FACTORS.len()).max(1) as f64).ln();
    if standards.room() - cost < CLEARLY {
        return None;
    }
    let slipped = |at: usize, factor: f64| {
        let values = standards.values().enumerate();
        let meant = values.map(|(i, value)| if i == at { value * factor } else { value });
        standards.transformed(meant, factor.ln())
    };
    let (evidence, at, factor) = (0..count)
        .flat_map(|at| FACTORS.map(|factor| (slipped(at, factor), at, factor)))
        .max_by(|one, other| one.0.total_cmp(&other.0))?;
    let standard = &standards.all[at];
    let remedy = Remedy::Scaled {
        lane: standard.lane.lane,
        spot: standard.spot,
        factor,
    };
    Some(Fit {
        evidence: evidence - cost,
        size: None,
        remedy,
    })
}

#[cfg(test)]
mod tests {
    use crate::example::Example;
    use crate::signatures::Remedy;

    #[test]
    fn a_distance_in_inches_is_told() {
        // 4.51 cm are 1.78 in.
        let example =
            Example::clean().row("1", 5, |row| row.distance = Some("1.78".parse().unwrap()));
        let found = example.signatures();
        let Remedy::Scaled {
            lane: 5, factor, ..
        } = found[0].remedy
        else {
            panic!("{found:#?}")
        };
        assert!((factor - 2.54).abs() < 1e-12);
    }

    #[test]
    fn a_distance_that_no_unit_puts_right_does_not_fire() {
        let example =
            Example::clean().row("1", 5, |row| row.distance = Some("2.60".parse().unwrap()));
        assert!(example.signatures().is_empty());
    }
}
